"""What the coordinator says to the farm: announcements, targets, new people, days it is closed."""

from __future__ import annotations

import re
from datetime import date

import phonenumbers

from core.notes import AddPerson, Announce, Closed, Target
from service.understanding.clauses import Sentence
from service.understanding.clauses import sentences as sentences_of
from service.understanding.found import Found, Told
from service.understanding.lots import lots
from service.understanding.questions import asks
from service.understanding.sheet import Clause, overlaps
from service.understanding.shifts import shifts_meant
from service.understanding.times import stretches

REGION = "US"
"""Where a phone number written without a country code is from."""


def coordinated(told: Told, sentences: list[Sentence]) -> list[Found] | None:
    """The notes only a coordinator sends; None when the text holds none."""
    whole = told.sheet.whole()
    if any(one.question for one in sentences):
        return None
    for reader in (_person, _announce, _told_to_shift, _closed, _target):
        found = reader(whole, told)
        if found:
            return found
    return None


def _announce(clause: Clause, told: Told) -> list[Found]:
    spans = clause.spans("announce", "all")
    if not spans or spans[0].start - clause.start > 4:
        return []
    start = spans[0].end
    while clause.sheet.at("announce", start) and clause.sheet.at("announce", start).value == "lead":  # type: ignore[union-attr]
        start = clause.sheet.at("announce", start).end  # type: ignore[union-attr]
    words = Clause(clause.sheet, start, clause.end).text.strip(" .!")
    told_words = [one for one in range(start, clause.end) if clause.sheet.tokens[one].kind != "mark"]
    if all(clause.sheet.within(one, "greeting") for one in told_words):
        return [Found(Announce(to="all"), ("what",))]
    return [Found(Announce(words=words, to="all"))]


def _told_to_shift(clause: Clause, told: Told) -> list[Found]:
    """What the people of one shift are to be told: named by its id ("al turno s88") or its day."""
    lead = clause.spans("announce", "shift")
    if not lead or lead[0].start - clause.start > 4:
        return []
    near = Clause(clause.sheet, lead[0].end, min(clause.end, lead[0].end + NEAR))
    shift = _shift_named(near, told)
    if shift is None:
        return []
    start = shift[1]
    while any(clause.sheet.within(start, family) for family in ("announce_on", "word.article")):
        start += 1
    return [Found(Announce(words=Clause(clause.sheet, start, clause.end).text.strip(" .!,:"), to=shift[0]))]


NEAR = 5
"""Tokens after "let the" or "dile al" within which a shift is named."""


def _shift_named(clause: Clause, told: Told) -> tuple[str, int] | None:
    """The id of the shift named and where its name ends."""
    for one in told.context.shifts:
        for at in range(clause.start, clause.end):
            if "".join(clause.sheet.words[at : at + 2]) == one.id or clause.sheet.words[at] == one.id:
                return one.id, at + 1 + (clause.sheet.words[at] != one.id)
    things = [one for one in clause.spans("thing") if one.value == "shift"] or clause.spans("announce_on")
    meant = shifts_meant(clause, told)
    if not things or len(meant) != 1:
        return None
    days = (*clause.spans("day"), *clause.spans("relday"), *things)
    return meant[0].id, max(one.end for one in days)


def _target(clause: Clause, told: Told) -> list[Found]:
    if clause.has("word.target") and clause.one("crop") and not clause.has("count"):
        told_of = asks(clause) or clause.has("act.harvest") or clause.has("word.perhaps")
        nouns = clause.spans("word.target")
        set_anew = any(one.end - one.start > 1 or not overlaps(one, nouns) for one in clause.spans("target", "aim"))
        return [] if told_of or not set_anew else [Found(Target(crop=clause.one("crop")), ("count",))]
    if not (clause.has("target", "week") and clause.has("crop") and clause.has("count")):
        return []
    if not clause.has("target", "aim") and clause.has("act.harvest"):
        return []
    if clause.has("word.perhaps"):
        return []
    clause = _beside_week(_after_aim(_without_denied(clause)))
    return [
        Found(
            Target(crop=lot.crop, count=lot.count, per="week"),
            () if lot.count is not None and not lot.conflict else ("count",),
        )
        for lot in lots(clause)
    ]


def _beside_week(clause: Clause) -> Clause:
    """The clause on the side of "per week" that names crop and count, so that "per" is read of nothing else."""
    for week in clause.spans("target", "week"):
        for side in (Clause(clause.sheet, clause.start, week.start), Clause(clause.sheet, week.end, clause.end)):
            whole = len(side.spans("crop")) == len(clause.spans("crop"))
            if whole and side.has("crop") and side.has("count"):
                return side
    return clause


def _after_aim(clause: Clause) -> Clause:
    """The clause from the second of two figures, where the first goes with the aim: "aim 4 30 bunches mint"."""
    for aim in clause.spans("target", "aim"):
        count = clause.sheet.at("count", aim.end)
        second = clause.sheet.at("count", count.end) if count else None
        if second:
            return Clause(clause.sheet, second.start, clause.end)
    return clause


def _without_denied(clause: Clause) -> Clause:
    """The clause up to a number that is the old one ("20 a week not 30")."""
    old = [one.start for one in clause.spans("correct.denial") if clause.sheet.at("count", one.end)]
    before = Clause(clause.sheet, clause.start, min(old, default=clause.end))
    return before if before.has("count") else clause


def _person(clause: Clause, told: Told) -> list[Found]:
    text = clause.sheet.text
    match = next(iter(phonenumbers.PhoneNumberMatcher(text, REGION, leniency=phonenumbers.Leniency.POSSIBLE)), None)
    if match is None or sum(one.isdigit() for one in match.raw_string) < 10 or not clause.has("person", "add"):
        return []
    phone = phonenumbers.format_number(match.number, phonenumbers.PhoneNumberFormat.E164)
    name = _name(text[: match.start] + " " + text[match.end :], clause)
    roles = [one.value for one in clause.spans("role")]
    role = next((one for one in roles if one != "volunteer"), roles[0] if roles else None)
    return [Found(AddPerson(name=name, phone=phone, role=role), () if name else ("what",))]


def _name(text: str, clause: Clause) -> str | None:
    """The words that are no filler: capitalised ones where there are any, without who writes."""
    fillers = {one for span in clause.spans("person") for one in clause.sheet.words[span.start : span.end]}
    fillers |= {one for span in clause.spans("role") for one in clause.sheet.words[span.start : span.end]}
    words = [one for one in re.findall(r"[^\W\d_]+(?:['-][^\W\d_]+)*", text) if one.lower() not in fillers]
    capital = [one for one in words if one[0].isupper()]
    chosen = capital or words[:2]
    return " ".join(chosen[:3]).title() if chosen else None


def _closed(clause: Clause, told: Told) -> list[Found]:
    if not clause.has("closed") or clause.has("hedge.hearsay") or clause.has("word.perhaps"):
        return []
    if any(
        one.end - one.start > 2 and one.value == "no" and overlaps(one, clause.spans("closed"))
        for one in clause.spans("can")
    ):
        return []  # "no farm for me that day"
    if clause.has("trouble") or not _of_the_farm(clause):
        clause = next((one for one in _pieces(told) if _opens_with_closed(one)), Clause(clause.sheet, 0, 0))
    if any(clause.sheet.at("word.early", one.end) for one in clause.spans("closed")):
        return []  # "closing early friday", "we close at 5 today"
    days: list[date] = []
    for stretch in stretches(clause, told.sent):
        days += [] if stretch.hours else [day.date for day in stretch.days if day.date not in days]
    if not days and clause.has("closed_who") and _to_be_closed(clause):
        return [Found(Closed(), ("when",))]
    return [Found(Closed(date=day)) for day in days]


def _to_be_closed(clause: Clause) -> bool:
    """ "close the farm that day" says to close it and not when; "we are closed" may be talk."""
    told = [one for one in clause.spans("closed") if clause.sheet.at("time.close", one.start)]
    short = clause.has("word.anaphor") or clause.end - clause.start <= 4
    return bool(told) and told[0].start == clause.start and short


def _opens_with_closed(piece: Clause) -> bool:
    """ "closed tmrw, no water in the whole block": the reason stands apart."""
    return any(one.start - piece.start <= 1 for one in piece.spans("closed")) and _of_the_farm(piece)


def _pieces(told: Told) -> list[Clause]:
    return [piece for sentence in sentences_of(told.sheet) for piece in sentence.pieces]


def _of_the_farm(clause: Clause) -> bool:
    """The farm is meant: "we", "the farm", or nothing else is named as closed."""
    return (
        clause.has("closed_who")
        or any(one.end - one.start > 1 for one in clause.spans("closed"))
        or clause.end - clause.start <= 6
    )
