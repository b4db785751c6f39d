"""Stays and hours, looked up."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from sqlmodel import col, select

from core.books.ledger import Ledger
from core.books.tables import Person, Shift, ShiftPlace, Visit, WorkedHours
from core.hours import Worked


def worked_rows(ledger: Ledger, first: date, last: date, person_id: int | None = None) -> list[Worked]:
    """What was worked from the first to the last day, by all or by one person, as it was booked."""
    query = select(WorkedHours).where(WorkedHours.farm_id == ledger.farm_id, col(WorkedHours.on).between(first, last))
    if person_id is not None:
        query = query.where(WorkedHours.person_id == person_id)
    return [
        Worked(row.person_id, row.on, row.minutes, row.source, row.approved_by is not None)
        for row in ledger.session.exec(query)
    ]


def unapproved(ledger: Ledger, person_id: int | None = None) -> Sequence[tuple[WorkedHours, Person]]:
    """Reported hours that no lead has approved, with whose they are, the oldest first; of all or of one person."""
    query = (
        select(WorkedHours, Person)
        .join(Person, (col(Person.farm_id) == WorkedHours.farm_id) & (col(Person.id) == WorkedHours.person_id))
        .where(WorkedHours.farm_id == ledger.farm_id, WorkedHours.source == "said")
        .where(col(WorkedHours.approved_by).is_(None))
    )
    if person_id is not None:
        query = query.where(WorkedHours.person_id == person_id)
    return ledger.session.exec(query.order_by(col(WorkedHours.on), col(WorkedHours.entry))).all()


def last_arrival(ledger: Ledger, person_id: int, before: datetime) -> Visit | None:
    """When somebody last came, where they have not said since that they left."""
    query = (
        select(Visit)
        .where(Visit.farm_id == ledger.farm_id, Visit.person_id == person_id, col(Visit.at) <= before)
        .order_by(col(Visit.at).desc(), col(Visit.entry).desc())
    )
    last = ledger.session.exec(query.limit(1)).first()
    return last if last is not None and last.kind == "arrive" else None


def stayed(ledger: Ledger, since: datetime, until: datetime) -> list[Visit]:
    """Everybody's last arrival between two instants that no leaving has followed, by person."""
    query = (
        select(Visit)
        .where(Visit.farm_id == ledger.farm_id, col(Visit.at).between(since, until))
        .order_by(col(Visit.at), col(Visit.entry))
    )
    last: dict[int, Visit] = {}
    for visit in ledger.session.exec(query):
        last[visit.person_id] = visit
    return [visit for _, visit in sorted(last.items()) if visit.kind == "arrive"]


def shift_around(ledger: Ledger, person_id: int, moment: datetime, slack_before: datetime) -> Shift | None:
    """The shift a person has a place on that somebody who came at a moment came for.

    Args:
        ledger: the farm's.
        person_id: who came.
        moment: when.
        slack_before: the latest a shift may begin so that the arrival is for it.
    """
    query = (
        select(Shift)
        .join(ShiftPlace, (col(ShiftPlace.farm_id) == Shift.farm_id) & (col(ShiftPlace.shift) == Shift.id))
        .where(Shift.farm_id == ledger.farm_id, ShiftPlace.person_id == person_id, ShiftPlace.answer != "no")
        .where(col(Shift.starts_at) <= slack_before, col(Shift.ends_at) > moment)
    )
    return ledger.session.exec(query.order_by(col(Shift.starts_at)).limit(1)).first()
