"""A farm small enough for the tests of texts in and out: one number, two people, nothing growing."""

from datetime import UTC, datetime, time

from sqlmodel import SQLModel

import service.tables  # noqa: F401  its tables belong to the same database
from core.books.store import Books
from core.books.tables import Farm, Person

NOW = datetime(2026, 11, 25, 15, 0, tzinfo=UTC)
NUMBER = "+13125550100"
WALT, WALTS_PHONE = 1, "+13125550142"
JUNE, JUNES_PHONE = 2, "+13125550143"


def open_farm(url):
    """The books with the farm in them, its id 1."""
    books = Books(url)
    SQLModel.metadata.create_all(books.engine)
    with books.write() as session:
        session.add(a_farm())
        session.flush()
        session.add(Person(farm_id=1, id=WALT, handle="walt", name="Walt", phone=WALTS_PHONE, agreed=True))
        session.add(Person(farm_id=1, id=JUNE, handle="june", name="June", phone=JUNES_PHONE, agreed=True))
    return books


def a_farm():
    return Farm(
        id=1,
        slug="tern-street",
        name="Tern Street Farm",
        phone=NUMBER,
        timezone="America/Chicago",
        temperature_unit="F",
        weight_unit="oz",
        languages=["en"],
        opens=time(8),
        closes=time(20),
        day_parts={},
        tower_rows={"A": 4},
        sites_per_tower=10,
        shelves=["shelf1"],
        tray_cells=50,
        digest_at=time(8),
    )


def mute(books, person_id=WALT):
    with books.write() as session:
        session.get_one(Person, (1, person_id)).muted = True
