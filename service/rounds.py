"""What the farm texts by itself, in words: the morning digest, the task list for a shift, and reminders."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta
from typing import Any

from sqlmodel import Session

from core.acts.answers.growing import ripe
from core.acts.answers.shifts import shift_fact
from core.acts.answers.shortened import shortened
from core.acts.answers.supplies import supply
from core.acts.answers.watched import watched
from core.acts.answers.water import short
from core.acts.answers.work import suited, todo_list
from core.acts.listing import number_list, numbered
from core.acts.picture import picture, to_do
from core.books import people, troubles
from core.books import tasks as task_books
from core.books.hours import last_arrival
from core.books.ledger import Ledger, Told
from core.books.tables import Entry, Person, Shift
from core.books.vocabulary import vocabulary
from core.calendar import local_day, week
from core.day import Day, OpenTrouble, Ripe, ShiftPicture
from core.outcome import Fact, fact
from core.people import first_name
from core.places import place_order
from core.sizing import sizes
from core.vocabulary import Vocabulary
from service.segments import count
from service.tables import Inbound
from service.words import Speaker

DIGEST_SEGMENTS = 3
LIST_SEGMENTS = 2
MOST_LISTED = 8
MOST_WORDS = 90  # letters of somebody's own text that are passed on
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
    besides = watched(Ledger(session, farm_id), words, day, now)
    texts = (speaker.text((*_digest(seen, words, most, now), *besides), joint="\n") for most in SHOWN)
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
    head = fact("list_head", name=first_name(person.name), span=(shift.starts_at, shift.ends_at))
    numbers = numbered(ledger, person.id, day, [one.id for one in works if one.id is not None])
    for most in range(MOST_LISTED, 0, -1):
        outcome = todo_list(works, day, most, numbers)
        text = speaker.text((head, *outcome.facts), joint="\n")
        if count(text).parts <= LIST_SEGMENTS:
            break
    number_list(ledger, person.id, outcome.listed, day, Told(None, now, now))
    return text


def reminder(session: Session, farm_id: int, person: Person, shift: Shift, now: datetime, *, asks: bool) -> str:
    """A reminder of a shift, in one segment; `asks` whether it asks for an answer."""
    words = vocabulary(session, farm_id)
    speaker = Speaker(person.language, words, local_day(now, words.zone))
    kind = "reminder_ask" if asks else "reminder_known"
    return speaker.text([fact(kind, farm=words.farm, span=(shift.starts_at, shift.ends_at))])


def leaving(session: Session, farm_id: int, person: Person, now: datetime) -> str:
    """A question to somebody who came and has not said that they left."""
    words = vocabulary(session, farm_id)
    came = last_arrival(Ledger(session, farm_id), person.id, now)
    speaker = Speaker(person.language, words, local_day(now, words.zone))
    if came is None:
        return ""
    asked = fact("ask_leaving", name=first_name(person.name), day=local_day(came.at, words.zone), at=came.at)
    return speaker.text([asked])


def trouble_again(session: Session, farm_id: int, person: Person, n: int, now: datetime) -> str:
    """A trouble that nobody has said they see to, for the next in charge, with its reporter's own words."""
    words = vocabulary(session, farm_id)
    ledger = Ledger(session, farm_id)
    one = troubles.report(ledger, n)
    if one is None:
        return ""
    source = session.get_one(Entry, (farm_id, one.entry)).source
    text = session.get(Inbound, (farm_id, source)) if source else None
    who = people.person(ledger, one.person_id).name if one.person_id is not None else words.farm
    told = fact(
        "news_trouble_again", n=n, kind=one.kind, places=tuple(one.places), crop=one.crop, who=who,
        words=text.body[:MOST_WORDS] if text else None,
    )  # fmt: skip
    return Speaker(person.language, words, local_day(now, words.zone)).text([told])


def ask_week(session: Session, farm_id: int, person: Person, now: datetime) -> str:
    """The question when somebody can come in the coming week."""
    words = vocabulary(session, farm_id)
    today = local_day(now, words.zone)
    first, last = week(today + timedelta(weeks=1))
    asked = fact("ask_week", farm=words.farm, first=first, last=last)
    return Speaker(person.language, words, today).text([asked])


def _short_enough(texts: Iterator[str], segments: int) -> str:
    text = ""
    for text in texts:
        if count(text).parts <= segments:
            break
    return text


def _digest(seen: Day, words: Vocabulary, most: int, now: datetime) -> Iterator[Fact]:
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
        "digest_trouble": ("troubles", [_trouble(one, now) for one in seen.troubles]),
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


def _trouble(one: OpenTrouble, now: datetime) -> Fact:
    minutes = (now - one.at) / timedelta(minutes=1)
    return fact(
        "digest_trouble_one", n=one.n or None, trouble=one.kind, places=one.places, crop=one.crop,
        age=minutes, has=one.has,
    )  # fmt: skip
