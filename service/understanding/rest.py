"""What is left of a text once its reports are read: when people can come, and what they say of their shifts."""

from __future__ import annotations

from core.notes import Busy, Free
from service.understanding import crew
from service.understanding.clauses import Sentence
from service.understanding.found import Found, Told
from service.understanding.sheet import Clause
from service.understanding.shifts import said_answer, unasked
from service.understanding.times import stretches


def about_time(parts: list[Sentence], told: Told, reported: list[Found], answering: bool = False) -> list[Found]:
    """Free and busy times, and answers about shifts that nobody asked for."""
    pieces = [piece for part in parts if not part.question for piece in part.pieces]
    if reported:
        pieces = [one for one in pieces if not (one.has("crop") or one.has("act.worked") or one.has("arrive"))]
    if not any(crew.names_time(one) for one in pieces):
        return []
    if not answering and told.context.shifts:
        said = said_answer(told.sheet.whole())
        if said in ("late", "swap"):
            return unasked(told.sheet.whole(), told)
    if not any(_speaks_of_self(one) for one in pieces):
        return [] if answering or reported else _bare_times(pieces, told)
    return list(crew.availability(pieces, told))


def _names_time(clause: Clause) -> bool:
    return any(
        clause.has(one)
        for one in ("day", "relday", "part", "days", "clock", "month", "relpart", "time.week", "time.date")
    )


def _speaks_of_self(clause: Clause) -> bool:
    return crew.polarity_of(clause) is not None


SHORTEST = 12
"""Words; an offer to come in a longer text with no time is talk."""


def without_time(parts: list[Sentence], told: Told) -> list[Found]:
    """ "I can help out if you need me": when has to be asked."""
    whole = told.sheet.whole()
    offers = whole.spans("offer")
    words = sum(token.kind != "mark" for token in told.sheet.tokens)
    if len(offers) != 1 or words > SHORTEST or any(one.question for one in parts) or told.context.shifts:
        return []
    return [Found(Free() if offers[0].value == "yes" else Busy(), ("when",))]


def _bare_times(pieces: list[Clause], told: Told) -> list[Found]:
    """Days with hours and hardly a word besides ("every tues 330-5", "sat 9 to 11") are an offer to come."""
    clause = Clause(told.sheet, pieces[0].start, pieces[-1].end)
    found = [one for one in stretches(clause, told.sent) if one.days and one.hours]
    if not found or len(_other_words(clause)) > 1 or any(one.has("act_other") for one in pieces):
        return []
    return list(crew.merged([note for one in found for note in crew.as_notes(True, one, told)]))


def _other_words(clause: Clause) -> list[int]:
    families = [one for one in clause.sheet.marks if one.startswith("time.")]
    families += [
        "day",
        "relday",
        "part",
        "clock",
        "days",
        "month",
        "meridiem",
        "number",
        "greeting",
        "who",
        "everyday",
        "join.and",
    ]
    covered = {index for family in families for one in clause.spans(family) for index in range(one.start, one.end)}
    return [i for i in range(clause.start, clause.end) if i not in covered and clause.sheet.tokens[i].kind == "word"]
