"""Shifts and who is on them, when people can come, and the hours they gave, looked up."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from zoneinfo import ZoneInfo

from sqlmodel import col, func, select

from core.books.ledger import Ledger
from core.books.tables import Availability, ClosedDay, Person, Shift, ShiftPattern, ShiftPlace, WorkedHours
from core.calendar import local_day

OnShift = tuple[ShiftPlace, Person]


def shifts_between(ledger: Ledger, start: datetime, end: datetime) -> Sequence[Shift]:
    """Shifts that begin from `start` to before `end`, the first first."""
    query = select(Shift).where(
        Shift.farm_id == ledger.farm_id, col(Shift.starts_at) >= start, col(Shift.starts_at) < end
    )
    return ledger.session.exec(query.order_by(col(Shift.starts_at), col(Shift.id))).all()


def on_shift(ledger: Ledger, shift: str) -> Sequence[OnShift]:
    """Everyone of the crew with a place on a shift, whatever they answered, in the order they joined."""
    query = (
        select(ShiftPlace, Person)
        .join(Person, (col(Person.farm_id) == ShiftPlace.farm_id) & (col(Person.id) == ShiftPlace.person_id))
        .where(ShiftPlace.farm_id == ledger.farm_id, ShiftPlace.shift == shift, Person.state == "here")
    )
    return ledger.session.exec(query.order_by(col(Person.id))).all()


def shifts_of(
    ledger: Ledger, person_id: int, after: datetime, zone: ZoneInfo, *, given_up: bool = False
) -> Sequence[Shift]:
    """The shifts a person has a place on (or has `given_up`), after an instant and on open days, the next first."""
    query = (
        select(Shift)
        .join(ShiftPlace, (col(ShiftPlace.farm_id) == Shift.farm_id) & (col(ShiftPlace.shift) == Shift.id))
        .where(Shift.farm_id == ledger.farm_id, ShiftPlace.person_id == person_id)
        .where((col(ShiftPlace.answer) == "no").is_(given_up), col(Shift.ends_at) > after)
    )
    closed = closed_days(ledger, local_day(after, zone), date.max)
    found = ledger.session.exec(query.order_by(col(Shift.starts_at)))
    return [one for one in found if local_day(one.starts_at, zone) not in closed]


def next_shift(ledger: Ledger, after: datetime) -> Shift | None:
    """The farm's shift that ends next after an instant."""
    query = select(Shift).where(Shift.farm_id == ledger.farm_id, col(Shift.ends_at) > after)
    return ledger.session.exec(query.order_by(col(Shift.starts_at))).first()


def patterns(ledger: Ledger) -> Sequence[ShiftPattern]:
    """The shifts that are there every week."""
    query = select(ShiftPattern).where(ShiftPattern.farm_id == ledger.farm_id)
    return ledger.session.exec(query.order_by(col(ShiftPattern.id))).all()


def closed_days(ledger: Ledger, first: date, last: date) -> set[date]:
    """Days on which the farm is closed."""
    query = select(ClosedDay).where(ClosedDay.farm_id == ledger.farm_id, col(ClosedDay.day).between(first, last))
    return {one.day for one in ledger.session.exec(query)}


def said_busy(ledger: Ledger) -> Sequence[Availability]:
    """Every time somebody said they cannot come."""
    query = select(Availability).where(Availability.farm_id == ledger.farm_id, col(Availability.free).is_(False))
    return ledger.session.exec(query).all()


def worked(ledger: Ledger, first: date, last: date) -> dict[int, float]:
    """Minutes worked by each person from the first to the last day."""
    query = (
        select(col(WorkedHours.person_id), col(WorkedHours.on), col(WorkedHours.source), func.sum(WorkedHours.minutes))
        .where(WorkedHours.farm_id == ledger.farm_id, col(WorkedHours.on).between(first, last))
        .group_by(col(WorkedHours.person_id), col(WorkedHours.on), col(WorkedHours.source))
    )
    # What somebody says they worked on a day stands for it; else the time from arriving to leaving does.
    days: dict[tuple[int, date], dict[str, float]] = {}
    for who, on, source, minutes in ledger.session.exec(query):
        days.setdefault((who, on), {})[source] = minutes
    worked: dict[int, float] = {}
    for (who, _), by_source in days.items():
        worked[who] = worked.get(who, 0) + by_source.get("said", by_source.get("visit", 0))
    return worked
