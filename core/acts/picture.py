"""Filling the picture of a day from the books, and its parts for those who ask about one."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta

from core.books import crew, people, supplies, tasks, troubles, water
from core.books.ledger import Ledger
from core.books.tables import Shift, TroubleReport
from core.calendar import bounds
from core.day import Day, Judged, OnShift, OpenTrouble, Ripe, ShiftPicture, Supplied
from core.people import first_name
from core.places import place_order
from core.readings import judge
from core.tasks import State, Work, in_order, plan, ripe
from core.vocabulary import Vocabulary

STALE = timedelta(days=2)
"""A reading older than this says nothing about today. Common practice, no source."""


def picture(ledger: Ledger, vocabulary: Vocabulary, day: date, now: datetime) -> Day:
    """The farm on one day, as its books have it now."""
    state = tasks.state(ledger, vocabulary, day)
    return Day(
        day=day,
        closed=day in crew.closed_days(ledger, day, day),
        shifts=shifts_on(ledger, vocabulary, day),
        tasks=tuple(to_do(ledger, state, day)),
        ripe=ripe_by(state, day),
        readings=out_of_range(ledger, now),
        low=tuple(one for one in stocked(ledger) if one.low),
        troubles=tuple(open_trouble(ledger, one) for one in troubles.open_trouble(ledger)),
    )


def shifts_on(ledger: Ledger, vocabulary: Vocabulary, day: date) -> tuple[ShiftPicture, ...]:
    """The shifts that begin on a farm-local day, the first first."""
    return tuple(on_shift(ledger, one) for one in crew.shifts_between(ledger, *bounds(day, day, vocabulary.zone)))


def on_shift(ledger: Ledger, shift: Shift) -> ShiftPicture:
    """A shift with everyone who has a place on it."""
    there = tuple(
        OnShift(person.id, first_name(person.name), place.answer, place.minutes if place.answer == "late" else None)
        for place, person in crew.on_shift(ledger, shift.id)
    )
    return ShiftPicture(shift.id, shift.starts_at, shift.ends_at, shift.needed, there)


def to_do(ledger: Ledger, state: State, day: date) -> list[Work]:
    """What is still to be done on a day, in order: its list, or what would be on it as things stand."""
    still_open = [tasks.work(one) for one in tasks.open_tasks(ledger, day)]
    if tasks.tasks_made(ledger, day):
        return in_order(still_open)
    due = plan(state, day, still_open)
    return in_order((*due.kept, *due.new))


def ripe_by(state: State, day: date, crop: str | None = None) -> tuple[Ripe, ...]:
    """What is ready to cut by a day, drawn together by crop, the longest overdue first; or one crop of it."""
    due = [(since, one) for since, one in ripe(state, day) if crop in (None, one.crop)]
    found = []
    for slug in dict.fromkeys(one.crop for _, one in due):
        own = [(since, one) for since, one in due if one.crop == slug]
        places = tuple(sorted({one.place for _, one in own}, key=place_order))
        found.append(Ripe(slug, sum(one.plants for _, one in own), places, own[0][0]))
    return tuple(found)


def out_of_range(ledger: Ledger, now: datetime) -> tuple[Judged, ...]:
    """The newest reading of each measure in each tank and the room, where it is out of range."""
    recent = [one for one in water.newest(ledger).values() if now - STALE <= one.at <= now]
    return tuple(one for one in judged(ledger, recent) if one.verdict != "fine")


def judged(ledger: Ledger, readings: Iterable[water.Read]) -> list[Judged]:
    """Readings with what is wanted where they were taken."""
    found, wanted_at = [], water.wanted(ledger)
    for one in readings:
        wanted = wanted_at(one.measure, one.place).range
        by = first_name(people.person(ledger, one.person_id).name) if one.person_id is not None else None
        verdict = judge(one.measure, one.value, wanted)
        found.append(Judged(one.measure, one.value, one.place, one.at, verdict, wanted, by))
    return found


def open_trouble(ledger: Ledger, one: TroubleReport) -> OpenTrouble:
    """A trouble with who told of it and who sees to it, by first name."""
    by = tuple(first_name(people.person(ledger, who).name) for who in troubles.reporters(ledger, one))
    has = first_name(people.person(ledger, one.taken_by).name) if one.taken_by is not None else None
    return OpenTrouble(one.kind, tuple(one.places), one.crop, one.at, one.n, by, has)


def stocked(ledger: Ledger, item: str | None = None, crop: str | None = None) -> list[Supplied]:
    """Supplies as they are known, one or all, those that are low first."""
    found = [
        Supplied(stock.item, stock.crop or None, stock.amount, supply.unit, stock.said, supplies.is_low(stock, supply))
        for stock, supply in supplies.kept(ledger, item, crop)
    ]
    return sorted(found, key=lambda one: not one.low)
