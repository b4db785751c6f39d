"""What the farm texts by itself, in words: the morning digest, the task list for a shift, and reminders."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from typing import Any

from sqlmodel import Session

from core.acts.answers.growing import ripe
from core.acts.answers.shifts import shift_fact
from core.acts.answers.shortened import shortened
from core.acts.answers.supplies import supply
from core.acts.answers.water import short
from core.acts.answers.work import suited, todo_list
from core.acts.listing import number_list
from core.acts.picture import picture, to_do
from core.books import tasks as task_books
from core.books.ledger import Ledger, Told
from core.books.tables import Person, Shift
from core.books.vocabulary import vocabulary
from core.calendar import local_day
from core.day import Day, OpenTrouble, Ripe, ShiftPicture
from core.outcome import Fact, fact
from core.tasks import place_order, sizes
from core.vocabulary import Vocabulary
from service.segments import count
from service.words import Speaker

DIGEST_SEGMENTS = 3
LIST_SEGMENTS = 2
MOST_LISTED = 8
SHOWN = (5, 4, 3, 2, 1)
"""How many things a line names, tried in turn until the text is short enough."""

NAMES_FROM = 2
"""Where lines name more things than this, shifts name their people."""

SCATTERED = 6
"""From so many separate towers on, a crop is named without them."""


def digest(session: Session, farm_id: int, day: date, now: datetime, language: str = "en") -> str:
    """The morning digest of a farm-local day: at most three segments; the longer its lists, the fewer it names."""
    words = vocabulary(session, farm_id)
    seen = picture(Ledger(session, farm_id), words, day, now)
    speaker = Speaker(language, words, day)
    texts = (speaker.text(_digest(seen, words, most), joint="\n") for most in SHOWN)
    return _short_enough(texts, DIGEST_SEGMENTS)


def task_list(session: Session, farm_id: int, person: Person, shift: Shift, now: datetime) -> str | None:
    """The numbered list for a person on a shift, its numbers kept in the books; None where there is nothing to do."""
    words = vocabulary(session, farm_id)
    ledger = Ledger(session, farm_id)
    day = local_day(now, words.zone)
    works = suited(ledger, to_do(ledger, task_books.state(ledger, words, day), day), person)
    if not works:
        return None
    speaker = Speaker(person.language, words, day)
    head = fact("list_head", name=person.name.split()[0], span=(shift.starts_at, shift.ends_at))
    for most in range(MOST_LISTED, 0, -1):
        outcome = todo_list(works, day, most)
        text = speaker.text((head, *outcome.facts), joint="\n")
        if count(text).parts <= LIST_SEGMENTS:
            break
    number_list(ledger, person.id, outcome.listed, Told(None, now, now))
    return text


def reminder(session: Session, farm_id: int, person: Person, shift: Shift, now: datetime, *, asks: bool) -> str:
    """A reminder of a shift, in one segment; `asks` whether it asks for an answer."""
    words = vocabulary(session, farm_id)
    speaker = Speaker(person.language, words, local_day(now, words.zone))
    kind = "reminder_ask" if asks else "reminder_known"
    return speaker.text([fact(kind, farm=words.farm, span=(shift.starts_at, shift.ends_at))])


def _short_enough(texts: Iterator[str], segments: int) -> str:
    text = ""
    for text in texts:
        if count(text).parts <= segments:
            break
    return text


def _digest(seen: Day, words: Vocabulary, most: int) -> Iterator[Fact]:
    """The lines of a digest, each list cut to so many; lines with nothing to say are left out."""
    yield fact("digest_head", farm=words.farm, day=seen.day)
    if seen.closed:
        yield fact("digest_closed")
    else:
        yield from (_shift(one, most) for one in seen.shifts)
        if not seen.shifts:
            yield fact("digest_no_shift")
    yield from _tasks(seen)
    lists: dict[str, tuple[str, list[Any]]] = {
        "digest_ripe": ("crops", [_ripe(one) for one in seen.ripe]),
        "digest_readings": ("readings", [short(one) for one in seen.readings]),
        "digest_low": ("supplies", [supply(one) for one in seen.low]),
        "digest_trouble": ("troubles", [_trouble(one) for one in seen.troubles]),
    }
    for kind, (name, things) in lists.items():
        shown, more = shortened(things, most)
        if shown:
            yield fact(kind, **{name: shown, "more": more})


def _shift(shift: ShiftPicture, most: int) -> Fact:
    """By name, or where room is short by number."""
    if most > NAMES_FROM:
        return shift_fact(shift, marked=True)
    span = (shift.starts_at, shift.ends_at)
    return fact("digest_shift", span=span, coming=len(shift.coming), needed=shift.needed)


def _tasks(seen: Day) -> Iterator[Fact]:
    if seen.tasks:
        minutes = sum(work.minutes for work in seen.tasks)
        kinds = [f"do_{what}" for what in sizes() if any(work.what == what for work in seen.tasks)]
        yield fact("digest_tasks", n=len(seen.tasks), minutes=minutes, kinds=kinds)


def _ripe(one: Ripe) -> Fact:
    if len(one.places) > SCATTERED and not _one_run(one.places):
        return fact("ripe_scattered", crop=one.crop, plants=one.plants)
    return ripe(one)


def _one_run(places: Sequence[str]) -> bool:
    """Whether the places, in walking order, are neighbours in one row."""
    (first_row, first), (last_row, last) = place_order(places[0]), place_order(places[-1])
    return first_row == last_row and last - first == len(places) - 1


def _trouble(one: OpenTrouble) -> Fact:
    return fact("digest_trouble_one", trouble=one.kind, places=one.places, crop=one.crop)
