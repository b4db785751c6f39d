"""Opening the database, and one unit of work on it: everything inside is written together or not at all.

SQLite is opened for a ledger: WAL, foreign keys on, every write transaction immediate, commits on the disk before
they are acknowledged, and one writer at a time in the process (its own lock polls, and starves under threads).
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from typing import Any

from sqlalchemy import Engine, create_engine, event
from sqlmodel import Session

BUSY_TIMEOUT_S = 10


class Books:
    """The database of all farms.

    Args:
        url: a SQLAlchemy address, "sqlite:///farm.db" or "postgresql+psycopg://…".
    """

    def __init__(self, url: str) -> None:
        self.sqlite = url.startswith("sqlite")
        connect = {"timeout": BUSY_TIMEOUT_S, "check_same_thread": False} if self.sqlite else {}
        self.engine: Engine = create_engine(url, connect_args=connect)
        self._writing = threading.RLock()
        if self.sqlite:
            event.listen(self.engine, "connect", _open_sqlite)
            event.listen(self.engine, "begin", _begin_sqlite)

    @contextmanager
    def write(self) -> Iterator[Session]:
        """A unit of work that commits when the block ends and leaves nothing when it raises."""
        with self._writing if self.sqlite else nullcontext():
            engine = self.engine.execution_options(writes=True)
            with Session(engine, expire_on_commit=False) as session, session.begin():
                yield session

    @contextmanager
    def read(self) -> Iterator[Session]:
        """A look at the books, all of one moment; what the block changes is not kept."""
        with Session(self.engine, expire_on_commit=False) as session:
            yield session

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()


def _open_sqlite(connection: Any, _record: Any) -> None:
    connection.isolation_level = None  # the driver's own transactions leave reads outside; ours begin in _begin_sqlite
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", f"busy_timeout={BUSY_TIMEOUT_S * 1000}"):
        connection.execute(f"PRAGMA {pragma}")


def _begin_sqlite(connection: Any) -> None:
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
