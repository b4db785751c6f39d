"""The people of a farm, looked up."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date

from sqlmodel import col, or_, select

from core.books.ledger import Ledger
from core.books.tables import OtherPhone, Person, Training


def person(ledger: Ledger, person_id: int) -> Person:
    """A person of the farm by number; KeyError if there is none."""
    found = ledger.session.get(Person, (ledger.farm_id, person_id))
    if found is None:
        raise KeyError(person_id)
    return found


def by_phone(ledger: Ledger, phone: str) -> Person | None:
    """Who has this number (E.164)."""
    query = select(Person).where(Person.farm_id == ledger.farm_id, Person.phone == phone)
    found = ledger.session.exec(query).first()
    other = ledger.session.get(OtherPhone, (ledger.farm_id, phone)) if found is None else None
    return person(ledger, other.person_id) if other else found


def by_handle(ledger: Ledger, handle: str) -> Person | None:
    """Who is called so in the farm's own words."""
    return ledger.session.exec(select(Person).where(Person.farm_id == ledger.farm_id, Person.handle == handle)).first()


def crew(ledger: Ledger, role: str | None = None) -> Sequence[Person]:
    """Everyone who is of the crew now, or those with one role, in the order they joined."""
    query = select(Person).where(Person.farm_id == ledger.farm_id, Person.state == "here")
    if role:
        query = query.where(Person.role == role)
    return ledger.session.exec(query.order_by(Person.id)).all()  # type: ignore[arg-type]


def asking_to_join(ledger: Ledger) -> Sequence[Person]:
    """Who asked to join and has no answer yet, the longest waiting first."""
    query = select(Person).where(Person.farm_id == ledger.farm_id, Person.state == "asked to join")
    return ledger.session.exec(query.order_by(col(Person.id))).all()


def skills(ledger: Ledger, day: date | None = None) -> Mapping[int, frozenset[str]]:
    """The skills each person is signed off for: on a day those that have not expired, without one all ever given."""
    held: defaultdict[int, set[str]] = defaultdict(set)
    for one in trainings(ledger):
        if day is None or one.until is None or day < one.until:
            held[one.person_id].add(one.skill)
    return {who: frozenset(named) for who, named in held.items()}


def trainings(ledger: Ledger) -> Sequence[Training]:
    """Every sign-off that was not taken away, also those that have expired."""
    query = select(Training).where(Training.farm_id == ledger.farm_id, col(Training.gone).is_(False))
    return ledger.session.exec(query.order_by(col(Training.person_id), col(Training.skill))).all()


def paused(ledger: Ledger, day: date) -> frozenset[int]:
    """Who wants no shifts on a day."""
    query = select(Person.id).where(Person.farm_id == ledger.farm_id, col(Person.paused).is_(True))
    still = or_(col(Person.back_on).is_(None), col(Person.back_on) > day)
    return frozenset(ledger.session.exec(query.where(still)))
