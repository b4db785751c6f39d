"""The demo farm for tests: loaded once on a fixed Monday morning, copied for each test that writes in it."""

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from shutil import copyfile
from zoneinfo import ZoneInfo

from sqlalchemy import make_url
from sqlmodel import Session, SQLModel, select

import service.tables  # noqa: F401
from core.acts import Scene
from core.books.ledger import Ledger, Told
from core.books.store import Books
from core.books.tables import Person
from core.books.vocabulary import vocabulary
from service.demo import load
from tests.postgres import Server

CHICAGO = ZoneInfo("America/Chicago")
NOW = datetime(2026, 5, 4, 9, 10, tzinfo=CHICAGO).astimezone(UTC)  # a Monday, at 9:10 on the farm
FARM = 1


def make(address: str) -> None:
    """Load the demo farm into a new database."""
    books = Books(address)
    SQLModel.metadata.create_all(books.engine)
    with books.write() as session:
        load(session, NOW)
    if books.sqlite:
        with books.engine.connect() as connection:
            connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
            connection.rollback()
    books.close()


@dataclass(frozen=True)
class SqliteTemplate:
    """The demo farm in a file."""

    file: Path

    def copy_to(self, file: Path) -> str:
        """The address of a copy."""
        copyfile(self.file, file)
        return f"sqlite:///{file}"

    def drop(self, books: Books) -> None:
        """The copy goes with its folder."""


@dataclass(frozen=True)
class PostgresTemplate:
    """The demo farm in a database that nobody has open."""

    server: Server
    address: str

    def copy_to(self, _file: Path) -> str:
        """The address of a copy."""
        return self.server.create(make_url(self.address).database)

    def drop(self, books: Books) -> None:
        """Delete a copy."""
        self.server.drop(books.engine.url)


def copy(template: SqliteTemplate | PostgresTemplate, file: Path) -> Books:
    """The books of a farm of one's own."""
    return Books(template.copy_to(file))


def person_id(session: Session, handle: str) -> int:
    """The number of somebody."""
    return session.exec(select(Person.id).where(Person.handle == handle)).one()


def scene(
    session: Session, handle: str = "walt", *, sure: bool = False, at: datetime = NOW, source: str = "t:1"
) -> Scene:
    """An act about to happen: somebody says something at a time."""
    told = Told(person_id(session, handle), at, at, source)
    return Scene(Ledger(session, FARM), vocabulary(session, FARM), told, sure)
