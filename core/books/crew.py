"""Shifts and who is on them, and when people can come, looked up."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from sqlmodel import and_, col, or_, select

from core.books.ledger import Ledger
from core.books.tables import Availability, ClosedDay, Entry, Person, Posting, Shift, ShiftPattern, ShiftPlace
from core.calendar import local_day

OnShift = tuple[ShiftPlace, Person]

LONGEST_SHIFT = timedelta(hours=24)


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


def coming(ledger: Ledger, shift: str) -> Sequence[int]:
    """The persons on a shift who have not said no."""
    query = select(ShiftPlace.person_id).where(
        ShiftPlace.farm_id == ledger.farm_id, ShiftPlace.shift == shift, ShiftPlace.answer != "no"
    )
    return ledger.session.exec(query).all()


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


def said_since(ledger: Ledger, shift: Shift, person_id: int, said_at: datetime) -> bool:
    """Whether something said by or for somebody after `said_at`, and not taken back, is about a shift or its hours."""
    own = or_(col(Entry.for_id) == person_id, and_(col(Entry.for_id).is_(None), col(Entry.person_id) == person_id))
    farm, later = ledger.farm_id, (own, col(Entry.said_at) > said_at)
    taken_back = select(Entry.reverses).where(Entry.farm_id == farm, col(Entry.reverses).is_not(None))
    of_the_shift = (
        select(Entry.n)
        .join(Posting, (col(Posting.farm_id) == Entry.farm_id) & (col(Posting.entry) == Entry.n))
        .where(Entry.farm_id == farm, *later, col(Entry.n).not_in(taken_back))
        .where(Posting.account == str(ShiftPlace.__tablename__), Posting.row == f"{shift.id}|{person_id}")
    )
    of_its_hours = (
        select(Entry.n)
        .join(Availability, (col(Availability.farm_id) == Entry.farm_id) & (col(Availability.entry) == Entry.n))
        .where(Entry.farm_id == farm, *later)
        .where(col(Availability.starts_at) < shift.ends_at, col(Availability.ends_at) > shift.starts_at)
    )
    return any(ledger.session.exec(query).first() is not None for query in (of_the_shift, of_its_hours))


def next_shift(ledger: Ledger, after: datetime) -> Shift | None:
    """The farm's shift that ends next after an instant."""
    query = select(Shift).where(Shift.farm_id == ledger.farm_id, col(Shift.ends_at) > after)
    return ledger.session.exec(query.order_by(col(Shift.starts_at)).limit(1)).first()


def patterns(ledger: Ledger) -> Sequence[ShiftPattern]:
    """The shifts that are there every week."""
    query = select(ShiftPattern).where(ShiftPattern.farm_id == ledger.farm_id)
    return ledger.session.exec(query.order_by(col(ShiftPattern.id))).all()


def closed_days(ledger: Ledger, first: date, last: date) -> set[date]:
    """Days on which the farm is closed."""
    query = select(ClosedDay).where(ClosedDay.farm_id == ledger.farm_id, col(ClosedDay.day).between(first, last))
    return {one.day for one in ledger.session.exec(query)}


def on_shift_now(ledger: Ledger, now: datetime) -> set[int]:
    """The persons whose shift is going on, without those who said that they do not come."""
    running = [one for one in shifts_between(ledger, now - LONGEST_SHIFT, now) if one.ends_at > now]
    return {person.id for one in running for place, person in on_shift(ledger, one.id) if place.answer != "no"}
