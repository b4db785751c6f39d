"""What the coordinator says to the farm: announcements, targets, new people, days it is closed."""

from __future__ import annotations

import re
from datetime import date

import phonenumbers

from core.notes import AddPerson, Announce, Closed, Target
from service.understanding.amounts import lots
from service.understanding.clauses import Sentence
from service.understanding.found import Found, Told
from service.understanding.sheet import Clause
from service.understanding.times import stretches

REGION = "US"
"""Where a phone number written without a country code is from."""


def coordinated(told: Told, sentences: list[Sentence]) -> list[Found] | None:
    """The notes only a coordinator sends; None when the text holds none."""
    whole = told.sheet.whole()
    if any(one.question for one in sentences):
        return None
    for reader in (_person, _announce, _closed, _target):
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


def _target(clause: Clause, told: Told) -> list[Found]:
    if not (clause.has("target", "week") and clause.has("crop") and clause.has("count")):
        return []
    if not clause.has("target", "aim") and clause.has("act.harvest"):
        return []
    return [
        Found(
            Target(crop=lot.crop, count=lot.count, per="week"),
            () if lot.count is not None and not lot.conflict else ("count",),
        )
        for lot in lots(clause)
    ]


def _person(clause: Clause, told: Told) -> list[Found]:
    text = clause.sheet.text
    match = next(iter(phonenumbers.PhoneNumberMatcher(text, REGION, leniency=phonenumbers.Leniency.POSSIBLE)), None)
    if match is None or sum(one.isdigit() for one in match.raw_string) < 10 or not clause.has("person", "add"):
        return []
    phone = phonenumbers.format_number(match.number, phonenumbers.PhoneNumberFormat.E164)
    name = _name(text[: match.start] + " " + text[match.end :], clause)
    role = clause.first("role")
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
    if not clause.has("closed") or clause.has("trouble") or clause.has("hedge.hearsay"):
        return []
    if not _of_the_farm(clause):
        return []
    days: list[date] = []
    for stretch in stretches(clause, told.sent):
        days += [day.date for day in stretch.days if day.date not in days]
    return [Found(Closed(date=day)) for day in days]


def _of_the_farm(clause: Clause) -> bool:
    """The farm is meant: "we", "the farm", or nothing else is named as closed."""
    return (
        clause.has("closed_who")
        or any(one.end - one.start > 1 for one in clause.spans("closed"))
        or clause.end - clause.start <= 6
    )
