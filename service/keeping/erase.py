"""Erasing a person: out of the books and the journal, and out of every text that came in or went out."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Text, cast, delete
from sqlmodel import Session, SQLModel, or_, select

from core.books import erasing
from core.books.erasing import GONE, Traces
from core.books.ledger import ACCOUNTS, Ledger, Told
from core.books.store import Books
from core.books.tables import Farm, Person
from service.tables import Inbound, OpenQuestion, Outbound, Proof

STAY = {"farm", "entry", "duework", "inbound", "outbound", *ACCOUNTS}
"""Tables whose rows stay, mended where they have to be. In any other, what is one person's goes with them."""


def erase_person(session: Session, farm: Farm, person: Person, told: Told) -> None:
    """Remove who a person was; what they did stays counted. It cannot be taken back.

    What they agreed to stays as an entry with its wording and time, without a name: it says that nobody was texted who
    had not agreed. Texts from and to them lose their words and number; in the texts of others their name is taken out.
    """
    phone, person_id = person.phone, person.id
    _delete_own(session, farm.id, person_id, phone)
    traces = erasing.erase(Ledger(session, farm.id), person, told)
    _empty_own(session, farm.id, person_id, phone)
    _mend_others(session, farm.id, traces)
    session.flush()


def _delete_own(session: Session, farm_id: int, person_id: int, phone: str | None) -> None:
    """Questions, codes, sign-ins, links and whatever else hangs on the person or the number."""
    known: dict[str, Any] = {"person_id": person_id} | ({"phone": phone} if phone else {})
    for table in SQLModel.metadata.sorted_tables:
        theirs = [table.columns[name] == value for name, value in known.items() if name in table.columns]
        if theirs and table.name not in STAY:
            session.execute(delete(table).where(table.columns["farm_id"] == farm_id, or_(*theirs)))


def _empty_own(session: Session, farm_id: int, person_id: int, phone: str | None) -> None:
    for came in session.exec(_theirs(Inbound, farm_id, person_id, phone)):
        came.body, came.phone, came.media, came.reading = "", GONE, [], None
    for went in session.exec(_theirs(Outbound, farm_id, person_id, phone)):
        went.body, went.phone = "", GONE
        went.state = "muted" if went.state in ("waiting", "unknown") else went.state


def _theirs(table: Any, farm_id: int, person_id: int, phone: str | None) -> Any:
    known = or_(table.person_id == person_id, table.phone == (phone or GONE))
    return select(table).where(table.farm_id == farm_id, known)


def _mend_others(session: Session, farm_id: int, traces: Traces) -> None:
    """Their name and number out of what others wrote, were told or were asked."""
    for table in (Inbound, Outbound, OpenQuestion, Proof):
        for row in session.exec(select(table).where(table.farm_id == farm_id, _holds(table, traces))):
            erasing.mend_row(row, lambda name, value: traces.mended(value, free=name in erasing.WORDS))


def _holds(table: Any, traces: Traces) -> Any:
    texts = [one for one in ("body", "reading", "draft", "rest", "note") if one in table.model_fields]
    return or_(*(erasing.holds(cast(getattr(table, name), Text), traces) for name in texts))


def scrub_file(books: Books) -> None:
    """Write the SQLite file anew: erased words would stay in its free pages. Other engines do so by themselves."""
    if not books.sqlite:
        return
    with books.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        driver = connection.connection.driver_connection
        assert driver is not None
        driver.execute("VACUUM")
        driver.execute("PRAGMA wal_checkpoint(TRUNCATE)")
