"""One week of the farm as the roster takes it: its shifts, and its people."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from core.acts.roster_crew import Standing, WeekCrew
from core.acts.roster_slots import WeekSlots
from core.books.ledger import Ledger
from core.books.tables import Farm
from core.books.tables import Shift as ShiftRow
from core.calendar import bounds
from core.shifts.making import Slot
from core.shifts.model import Place, Problem, Shift
from core.vocabulary import Vocabulary


@dataclass(frozen=True)
class RosterWeek:
    """What the roster of a week is made of.

    slots: each of its shifts that is still to come, by id; ids of those not in the books begin with
    core.acts.roster_slots.NEW. booked: those in the books. places: the places on them.
    """

    monday: date
    problem: Problem
    slots: Mapping[str, Slot]
    booked: Mapping[str, ShiftRow]
    places: Mapping[Place, Standing]


def roster_week(ledger: Ledger, vocabulary: Vocabulary, monday: date, now: datetime) -> RosterWeek:
    """The week from a Monday on, as far as it is still to come, its shifts shaped by the work there will be."""
    found = WeekSlots(ledger, vocabulary, monday, now)
    return _week(found, found.shaped())


def week_as_booked(ledger: Ledger, vocabulary: Vocabulary, monday: date) -> RosterWeek:
    """The whole week from a Monday on, with the shifts that are in the books as they are there."""
    before = bounds(monday, monday, vocabulary.zone)[0] - timedelta(microseconds=1)
    found = WeekSlots(ledger, vocabulary, monday, before)
    return _week(found, found.as_booked())


def _week(found: WeekSlots, slots: Mapping[str, Slot]) -> RosterWeek:
    """The problem; a shift is for at least as many as were promised a place on it."""
    shifts = [_shift(key, one) for key, one in slots.items()]
    there = WeekCrew(found.ledger, found.words, found.monday, found.now, shifts, found.patterns)
    able, cannot = there.able()
    promised = frozenset(there.promised(able))
    told = Counter(shift for _, shift in promised)
    problem = Problem(
        workers=[there.worker(one) for one in there.people],
        shifts=[replace(one, needed=max(one.needed, told[one.id])) for one in shifts],
        able=able,
        promised=promised,
        minors_per_adult=found.ledger.session.get_one(Farm, found.ledger.farm_id).minors_per_adult,
        cannot=cannot,
    )
    return RosterWeek(found.monday, problem, slots, found.booked, there.places)


def _shift(key: str, slot: Slot) -> Shift:
    return Shift(key, slot.starts_at, slot.ends_at, slot.needed, dict.fromkeys(slot.skills, 1), unsafe=slot.adults)
