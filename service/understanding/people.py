"""What is said of the crew itself: trainings, pauses, roles, numbers, reminders, and questions who can do what.

These are read in the fixed shapes of `crew_words`, over the whole text; whatever else a text says, it is none of them.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from functools import lru_cache

import phonenumbers

from core.notes import Ask, GiveRole, LeaveCrew, Note, OtherNumber, Pause, Reminding, RemovePerson, Trained
from service.understanding.coordinator import REGION
from service.understanding.crew_words import data, meaning, patterns
from service.understanding.found import Found, Told
from service.understanding.times import said_day
from service.understanding.tokens import fold

LONGEST = 90
"""Letters; a longer text is in none of the shapes."""

MARKS = re.compile(r"[^a-z0-9+() -]+")

Said = tuple[str, re.Match[str], Told]
"""The language of a shape, what fills it, and the text."""


def of_the_crew(told: Told) -> list[Found] | None:
    """The note of a text about the crew; None where it is in none of the shapes or names nobody here."""
    said = _plain(told.sheet.text) if len(told.sheet.text) <= LONGEST else ""
    for kind, language, pattern in patterns() if said else ():
        match = pattern.fullmatch(said)
        found = READERS[kind]((language, match, told)) if match else None
        if found is not None:
            return [found]
    return None


@lru_cache(maxsize=256)
def _plain(text: str) -> str:
    """The text in small letters, without accents, apostrophes and marks."""
    return " ".join(MARKS.sub(" ", fold(text).replace("'", "")).split())


def _who(said: Said) -> str | None:
    """The handle of the one person of the crew who is called so."""
    _, match, told = said
    people = told.sheet.vocabulary.people
    name = match["who"]
    handles = [one for one, full in people.items() if name in (one, _plain(full), _first(full))]
    return handles[0] if len(handles) == 1 else None


def _first(name: str) -> str:
    return next(iter(_plain(name).split()), "")


def _named(kind: type[Trained] | type[GiveRole], slot: str, **values: bool) -> Callable[[Said], Found | None]:
    def read(said: Said) -> Found | None:
        who = _who(said)
        word = meaning(said[0], slot, said[1][slot])
        return Found(kind(who=who, **{slot: word}, **values)) if who else None  # type: ignore[arg-type]

    return read


def _removed(said: Said) -> Found | None:
    who = _who(said)
    return Found(RemovePerson(who=who)) if who else None


def _number(said: Said) -> Found | None:
    who, phones = _who(said), list(phonenumbers.PhoneNumberMatcher(said[1]["phone"], REGION))
    if who is None or len(phones) != 1:
        return None
    return Found(OtherNumber(who=who, phone=phonenumbers.format_number(phones[0].number, E164)))


E164 = phonenumbers.PhoneNumberFormat.E164


def _paused(said: Said) -> Found:
    until = _day(said)
    return Found(Pause(until=until), () if until else ("when",))


def _day(said: Said) -> date | None:
    """The day said: a month alone is its first day, next time it comes; else any day a text may name."""
    language, match, told = said
    months = {word: int(n) for n, words in data(language)["month"].items() for word in words}
    words = match["when"].removeprefix("the first of ").removeprefix("early ")
    if words in months:
        today = told.sent.date()
        first = date(today.year, months[words], 1)
        return first if first > today else first.replace(year=today.year + 1)
    return said_day(told.sheet.whole(), told.sent)


def _reminded(said: Said) -> Found | None:
    language, match, _ = said
    n = match["n"]
    spelled = {word: float(number) for number, words in data(language)["number"].items() for word in words}
    count = float(n) if n.isdigit() else spelled.get(n)
    if count is None:
        return None
    return Found(Reminding(minutes=count * (60 if meaning(language, "unit", match["unit"]) == "hours" else 1)))


def _able(said: Said) -> Found | None:
    day = said_day(said[2].sheet.whole(), said[2].sent)
    return Found(Ask(about="able", date=day)) if day else None


def _plainly(note: Note) -> Callable[[Said], Found]:
    return lambda _: Found(note)


READERS: dict[str, Callable[[Said], Found | None]] = {
    "trained": _named(Trained, "skill"),
    "untrained": _named(Trained, "skill", gone=True),
    "pause": _plainly(Pause()),
    "pause_until": _paused,
    "resume": _plainly(Pause(over=True)),
    "leave_crew": _plainly(LeaveCrew()),
    "remove": _removed,
    "give_role": _named(GiveRole, "role"),
    "number": _number,
    "remind": _reminded,
    "eve_off": _plainly(Reminding(eve=False)),
    "eve_on": _plainly(Reminding(eve=True)),
    "weekly_off": _plainly(Reminding(weekly=False)),
    "weekly_on": _plainly(Reminding(weekly=True)),
    "ask_crew": _plainly(Ask(about="crew")),
    "ask_able": _able,
    "ask_trained": lambda said: Found(Ask(about="trained", item=meaning(said[0], "skill", said[1]["skill"]))),
}
"""What a shape says -> its note; the keys are those of `said` in the data files."""
