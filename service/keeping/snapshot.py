"""A look at the whole database as it was at one moment, while others go on writing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection

from core.books.store import Books


@contextmanager
def one_moment(books: Books) -> Iterator[Connection]:
    """A connection that sees one committed state throughout: SQLite's read transaction, else REPEATABLE READ."""
    with books.engine.connect() as connection:
        if not books.sqlite:
            connection = connection.execution_options(isolation_level="REPEATABLE READ")
        with connection.begin():
            yield connection
