"""What the roster is made of, looked up: what people said of coming, places, days worked, wishes, the roster kept."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date, datetime

from sqlmodel import col, select

from core.books.ledger import Ledger
from core.books.tables import Availability, Entry, KeptRoster, Shift, ShiftPlace, Wish, WorkedHours
from core.shifts.availability import Said

WINDOW = ("person_id", "free", "starts_at", "ends_at", "day", "start", "end", "until")


def said_of_coming(ledger: Ledger) -> dict[int, list[Said]]:
    """All that everybody has said of when they can and cannot come, by person."""
    query = (
        select(Availability, Entry.said_at)
        .join(Entry, (col(Entry.farm_id) == Availability.farm_id) & (col(Entry.n) == Availability.entry))
        .where(Availability.farm_id == ledger.farm_id)
    )
    found: dict[int, list[Said]] = defaultdict(list)
    for row, told_at in ledger.session.exec(query):
        found[row.person_id].append(Said(told_at=told_at, **{name: getattr(row, name) for name in WINDOW}))
    return found


def places_between(ledger: Ledger, start: datetime, end: datetime) -> Sequence[tuple[ShiftPlace, Shift]]:
    """Every place on shifts that begin from `start` to before `end`, whatever was answered."""
    query = (
        select(ShiftPlace, Shift)
        .join(Shift, (col(Shift.farm_id) == ShiftPlace.farm_id) & (col(Shift.id) == ShiftPlace.shift))
        .where(ShiftPlace.farm_id == ledger.farm_id, col(Shift.starts_at) >= start, col(Shift.starts_at) < end)
    )
    return ledger.session.exec(query.order_by(col(Shift.starts_at), col(ShiftPlace.person_id))).all()


def worked(ledger: Ledger, before: date) -> dict[int, dict[date, float]]:
    """Minutes each person has worked on each day before one, of all time."""
    query = select(WorkedHours).where(WorkedHours.farm_id == ledger.farm_id, col(WorkedHours.on) < before)
    found: dict[int, dict[date, float]] = defaultdict(dict)
    for row in ledger.session.exec(query):
        found[row.person_id][row.on] = found[row.person_id].get(row.on, 0.0) + row.minutes
    return found


def wishes(ledger: Ledger) -> Mapping[int, Wish]:
    """What people wish of the roster, by person."""
    found = ledger.session.exec(select(Wish).where(Wish.farm_id == ledger.farm_id))
    return {one.person_id: one for one in found}


def keep_roster(ledger: Ledger, made: KeptRoster) -> None:
    """Keep a roster; it takes the place of the one made for the same week before."""
    ledger.session.merge(made)
    ledger.session.flush()


def kept_roster(ledger: Ledger, week: date) -> KeptRoster | None:
    """The roster last made for the week of a Monday."""
    return ledger.session.get(KeptRoster, (ledger.farm_id, week))
