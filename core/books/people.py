"""The people of a farm, looked up."""

from __future__ import annotations

from collections.abc import Sequence

from sqlmodel import select

from core.books.ledger import Ledger
from core.books.tables import Person


def person(ledger: Ledger, person_id: int) -> Person:
    """A person of the farm by number; KeyError if there is none."""
    found = ledger.session.get(Person, (ledger.farm_id, person_id))
    if found is None:
        raise KeyError(person_id)
    return found


def by_phone(ledger: Ledger, phone: str) -> Person | None:
    """Who has this number (E.164)."""
    query = select(Person).where(Person.farm_id == ledger.farm_id, Person.phone == phone)
    return ledger.session.exec(query).first()


def crew(ledger: Ledger, role: str | None = None) -> Sequence[Person]:
    """Everyone who is of the crew now, or those with one role, in the order they joined."""
    query = select(Person).where(Person.farm_id == ledger.farm_id, Person.state == "here")
    if role:
        query = query.where(Person.role == role)
    return ledger.session.exec(query.order_by(Person.id)).all()  # type: ignore[arg-type]
