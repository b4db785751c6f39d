"""Bringing a database to the present shape of the tables, by Alembic's revisions in `migrations`."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from core.books.store import Books


def migrate(books: Books) -> None:
    """Run every revision the database has not had yet, all of them or none."""
    with books.engine.connect() as connection, connection.begin():
        command.upgrade(_config(connection), "head")


def is_up_to_date(books: Books) -> bool:
    """Whether the database has had every revision."""
    with books.engine.connect() as connection:
        had = MigrationContext.configure(connection).get_current_revision()
    return had == ScriptDirectory.from_config(_config(None)).get_current_head()


def drift(books: Books) -> None:
    """Check that the revisions lead to the tables as they are written.

    Raises:
        alembic.util.exc.CommandError: they do not; the message names what is missing.
    """
    with books.engine.connect() as connection:
        command.check(_config(connection))


def revise(books: Books, message: str) -> None:
    """Write the next revision from the difference between the database and the tables (for developers)."""
    with books.engine.connect() as connection:
        command.revision(_config(connection), message=message, autogenerate=True)


def _config(connection: object) -> Config:
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).with_name("migrations")))
    config.attributes["connection"] = connection
    return config
