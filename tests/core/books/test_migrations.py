"""The revisions lead to the tables as they are written, from nothing and again from what they made."""

import pytest
from alembic.util.exc import CommandError
from sqlmodel import SQLModel

import service.tables  # noqa: F401
from core.books.migrate import drift, migrate
from core.books.store import Books


@pytest.fixture
def empty(new_address):
    books = Books(new_address())
    yield books
    books.close()


def test_the_revisions_make_the_tables_as_they_are_written(empty):
    migrate(empty)
    drift(empty)


def test_migrating_twice_changes_nothing(empty):
    migrate(empty)
    migrate(empty)
    drift(empty)


def test_a_database_without_them_is_found_to_drift(empty):
    with pytest.raises(CommandError):
        drift(empty)


def test_the_farm_leads_every_key_but_its_own():
    for table in SQLModel.metadata.tables.values():
        first = next(iter(table.primary_key)).name
        assert first == ("id" if table.name == "farm" else "farm_id"), table.name
