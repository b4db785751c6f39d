"""Opening the database, and one unit of work on it: everything inside is written together or not at all.

SQLite is opened for a ledger: WAL, foreign keys on, every write transaction immediate, commits on the disk before
they are acknowledged, and one writer at a time in the process (its own lock polls, and starves under threads).
PostgreSQL lets many write at once; those who write in one farm's books take turns (`hold_farm`).
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from typing import Any

from sqlalchemy import Engine, create_engine, event
from sqlmodel import Session, select

from core.books.tables import Farm

BUSY_TIMEOUT_S = 10
CONNECTIONS = 10
MORE_CONNECTIONS = 30
"""So many are kept open, and so many more when all threads of the web server write at once (PostgreSQL)."""


class Books:
    """The database of all farms.

    Args:
        url: a SQLAlchemy address, "sqlite:///farm.db" or "postgresql+psycopg://…".
    """

    def __init__(self, url: str) -> None:
        self.sqlite = url.startswith("sqlite")
        self.engine: Engine = create_engine(url, **(_SQLITE if self.sqlite else _POSTGRES))
        self._writing = threading.RLock()
        self._writes = self.engine.execution_options(writes=True)
        # READ COMMITTED shows each statement another moment; a look at the books is of one.
        self._reads = self.engine if self.sqlite else self.engine.execution_options(isolation_level="REPEATABLE READ")
        if self.sqlite:
            event.listen(self.engine, "connect", _open_sqlite)
            event.listen(self.engine, "begin", _begin_sqlite)

    @contextmanager
    def write(self) -> Iterator[Session]:
        """A unit of work that commits when the block ends and leaves nothing when it raises."""
        with (
            self._writing if self.sqlite else nullcontext(),
            Session(self._writes, expire_on_commit=False, info={"writes": True}) as session,
            session.begin(),
        ):
            yield session

    @contextmanager
    def read(self) -> Iterator[Session]:
        """A look at the books, all of one moment; what the block changes is not kept."""
        with Session(self._reads, expire_on_commit=False) as session:
            yield session

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()


def hold_farm(session: Session, farm_id: int, *, wait: bool = True) -> bool:
    """Let no other unit of work write in a farm's books until this one ends; whether that is so now.

    What an act reads must still be so when it writes: two people who cut the same tower at once each see the other's
    cut. Other farms go on, and so does storing texts that come in. To be called before the first look at the books;
    unless it is to `wait`, it is False where another unit of work has the farm.
    """
    held = session.info.setdefault("held", set())
    if farm_id in held or session.get_bind().dialect.name == "sqlite":
        return True
    query = select(Farm.id).where(Farm.id == farm_id).with_for_update(key_share=True, skip_locked=not wait)
    if session.exec(query).first() is None:
        return False
    held.add(farm_id)
    return True


_SQLITE: dict[str, Any] = {"connect_args": {"timeout": BUSY_TIMEOUT_S, "check_same_thread": False}}
_POSTGRES: dict[str, Any] = {"pool_size": CONNECTIONS, "max_overflow": MORE_CONNECTIONS, "pool_pre_ping": True}


def _open_sqlite(connection: Any, _record: Any) -> None:
    connection.isolation_level = None  # the driver's own transactions leave reads outside; ours begin in _begin_sqlite
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", f"busy_timeout={BUSY_TIMEOUT_S * 1000}"):
        connection.execute(f"PRAGMA {pragma}")


def _begin_sqlite(connection: Any) -> None:
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
