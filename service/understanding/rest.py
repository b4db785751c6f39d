"""What is left of a text once its reports are read: when people can come, and what they say of their shifts."""

from __future__ import annotations

from core.notes import Busy, Free
from service.understanding.availability import as_notes, availability, merged
from service.understanding.clauses import Sentence
from service.understanding.found import Found, Told
from service.understanding.polarity import AROUND_TIMES, names_time, polarity_of
from service.understanding.questions import told_before
from service.understanding.sheet import Clause
from service.understanding.shifts import said_answer, unasked
from service.understanding.times import stretches


def about_time(parts: list[Sentence], told: Told, reported: list[Found], answering: bool = False) -> list[Found]:
    """Free and busy times, and answers about shifts that nobody asked for."""
    pieces = [piece for part in parts if not part.question or _offers(part.clause) for piece in part.pieces]
    pieces += [piece for part in parts if part.question and told_before(part) for piece in part.pieces[:-1]]
    pieces = [one for one in pieces if not _of_someone_else(one, told)]
    if reported:
        pieces = [one for one in pieces if not (one.has("crop") or one.has("act.worked") or one.has("arrive"))]
    if not any(names_time(one) for one in pieces):
        return []
    if not answering and told.context.shifts:
        said = said_answer(told.sheet.whole())
        if said in ("late", "swap"):
            return unasked(told.sheet.whole(), told)
    passed = _not_this_one(told) if not (answering or reported) else []
    if passed:
        return passed
    if not any(_speaks_of_self(one) for one in pieces):
        return [] if answering or reported else _bare_times(pieces, told)
    return list(availability(pieces, told))


def _offers(clause: Clause) -> bool:
    """ "I could do the 12th, ten to one?" is an offer, "can I come" is none: the sender is named before the verb."""
    return any(
        one.value == "yes" and clause.sheet.within(one.start, "self") and one.end - one.start > 1
        for one in clause.spans("can")
        if all(clause.sheet.within(at, "greeting", "who") for at in range(clause.start, one.start))
        and not any(clause.has(f"ask.{name}") for name in ("mark", "much"))
    )


def _speaks_of_self(clause: Clause) -> bool:
    return polarity_of(clause) is not None


SHORTEST = 12
"""Words; an offer to come in a longer text with no time is talk."""


def without_time(parts: list[Sentence], told: Told) -> list[Found]:
    """ "I can help out if you need me": when has to be asked."""
    whole = told.sheet.whole()
    if any(_of_someone_else(piece, told) for part in parts for piece in part.pieces):
        return []
    offers = whole.spans("offer")
    words = sum(token.kind != "mark" for token in told.sheet.tokens)
    if len(offers) != 1 or words > SHORTEST or any(one.question for one in parts) or told.context.shifts:
        return []
    return [Found(Free() if offers[0].value == "yes" else Busy(), ("when",))]


def _bare_times(pieces: list[Clause], told: Told) -> list[Found]:
    """Days with hours and hardly a word besides ("every tues 330-5", "sat 9 to 11") are an offer to come."""
    clause = Clause(told.sheet, pieces[0].start, pieces[-1].end)
    found = [one for one in stretches(clause, told.sent) if one.days and (one.hours or one.parts)]
    if (
        not any(one.hours for one in found)
        or len(_other_words(clause)) > 1
        or any(one.has("act_other") or _of_the_farm(one) for one in pieces)
    ):
        return []
    offered = list(merged([note for one in found for note in as_notes(True, one, told)]))
    windows = [window for one in offered for window in getattr(one.note, "windows", None) or ()]
    if any(window.start <= told.sent for window in windows):  # "9-11:30 today" may be time worked
        return [Found(Free(), ("when",))]
    return offered


def _not_this_one(told: Told) -> list[Found]:
    """ "not this saturday" and nothing else: the coming one cannot be."""
    whole = told.sheet.whole()
    days, passed = whole.spans("day"), whole.spans("time.notthis")
    if len(days) != 1 or not passed or _other_words(whole) or whole.has("clock"):
        return []
    named = stretches(whole, told.sent)
    for one in named:
        one.shift_weeks = 0
    return [note for one in named if one.days and not one.weekly for note in as_notes(False, one, told)]


def _of_someone_else(piece: Clause, told: Told) -> bool:
    """ "walt cant come saturday", told by another: a name at the start, and what it can or cannot right after it."""
    who = piece.sheet.at("who", piece.start)
    if who is None or who.end >= piece.end or str(who.value).lower() == told.sender.lower():
        return False
    signed = piece.sheet.at("self", who.end) or piece.sheet.at("arrive", who.end)  # "walt here, cant come"
    return not signed and any(piece.sheet.at(family, who.end) for family in ("can", "modal", "word.is", "ask.weak"))


def _of_the_farm(piece: Clause) -> bool:
    """ "we close at 5 today" is about the farm."""
    return piece.has("closed") and piece.has("closed_who")


def _other_words(clause: Clause) -> list[int]:
    families = [one for one in clause.sheet.marks if one.startswith("time.")]
    families += AROUND_TIMES
    covered = {index for family in families for one in clause.spans(family) for index in range(one.start, one.end)}
    return [i for i in range(clause.start, clause.end) if i not in covered and clause.sheet.tokens[i].kind == "word"]
