"""Backups: the whole of the books in one SQLite file, taken while the service runs, and proved by opening it.

From SQLite it is a copy by SQLite's own backup interface; from another engine every table is copied out of one
snapshot. So a backup of either can be restored to either.
"""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sqlalchemy import Connection, func, select
from sqlmodel import Session, SQLModel

from core.books.ledger import Ledger
from core.books.migrate import migrate
from core.books.move import copy_rows
from core.books.store import Books
from core.books.tables import Farm
from core.errors import BooksDiffer
from service.keeping.snapshot import one_moment


class BackupFault(ValueError):
    """A backup cannot be made or used; says why in words for the operator."""


def back_up(books: Books, file: Path) -> int:
    """Write the books into a new file that only its owner can read, and check it; how many farms are in it.

    The file appears under its name only when it is whole.

    Raises:
        BackupFault: the file is there already, or cannot be written.
        BooksDiffer: the copy's tables do not say what its journal says; it is not kept.
    """
    if file.exists():
        raise BackupFault(f"{file} is there already; name a new file")
    part = file.with_name(f".{file.name}.part")
    try:
        os.close(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600))
        _copy_out(books, part)
        farms = check(part)
        _in_one_file(part)
        part.rename(file)
        return farms
    except (OSError, sqlite3.Error) as error:
        raise BackupFault(f"{file} cannot be written: {error}") from error
    finally:
        for leftover in (part, *(part.with_name(part.name + end) for end in ("-wal", "-shm"))):
            leftover.unlink(missing_ok=True)


def _copy_out(books: Books, part: Path) -> None:
    if books.sqlite:
        with closing(sqlite3.connect(part)) as target, books.engine.connect() as source:
            _driver(source).backup(target)
        return
    with closing(Books(f"sqlite:///{part}")) as copy:
        migrate(copy)
        with one_moment(books) as connection, Session(connection) as source, copy.write() as target:
            copy_rows(source, target)


def _in_one_file(part: Path) -> None:
    """Nothing of it in a file beside it, and all of it on the disk."""
    with closing(sqlite3.connect(part)) as opened:
        opened.execute("PRAGMA journal_mode=DELETE")
    with part.open("rb+") as written:
        os.fsync(written.fileno())


def _driver(connection: Connection) -> Any:
    return connection.connection.driver_connection


def check(file: Path) -> int:
    """Open a backup and prove it: SQLite finds it sound, and every farm's tables say what its journal says.

    Returns:
        How many farms are in it.

    Raises:
        BackupFault: it is no sound SQLite file.
        BooksDiffer: the books in it disagree.
    """
    try:
        with closing(sqlite3.connect(f"file:{file}?mode=ro", uri=True)) as opened:
            said = opened.execute("PRAGMA integrity_check").fetchone()[0]
    except sqlite3.DatabaseError as error:
        raise BackupFault(f"{file} is no backup: {error}") from error
    if said != "ok":
        raise BackupFault(f"{file} is damaged: {said}")
    with closing(Books(f"sqlite:///{file}")) as books:
        return _verify(books)


def _verify(books: Books) -> int:
    with books.read() as session:
        farms = session.scalars(select(Farm)).all()
        differences = [f"{farm.slug}: {one}" for farm in farms for one in Ledger(session, farm.id).differences()]
    if differences:
        raise BooksDiffer(differences)
    return len(farms)


def restore(file: Path, books: Books, *, replace: bool = False) -> int:
    """Put a backup into the books, brought to the present shape and checked first; how many farms there are now.

    Args:
        file: the backup; it is not changed.
        books: empty, or to be thrown away.
        replace: throw away the farms that are in the books.

    Raises:
        BackupFault: it is no sound backup, or there are farms in the books and `replace` is not said.
        BooksDiffer: the backup's books disagree; nothing is changed.
    """
    with TemporaryDirectory() as folder:
        fresh = Path(folder) / "fresh.db"
        try:
            with closing(sqlite3.connect(f"file:{file}?mode=ro", uri=True)) as source:
                source.execute("VACUUM INTO ?", (str(fresh),))
        except sqlite3.DatabaseError as error:
            raise BackupFault(f"{file} is no backup: {error}") from error
        with closing(Books(f"sqlite:///{fresh}")) as copy:
            migrate(copy)
        if not check(fresh):
            raise BackupFault(f"{file} holds no farm")
        if not replace and _has_farms(books):
            raise BackupFault("there are farms in the books already; --replace throws them away")
        _copy_in(fresh, books)
    return _verify(books)


def _has_farms(books: Books) -> bool:
    migrate(books)
    with books.read() as session:
        return bool(session.scalar(select(func.count()).select_from(Farm)))


def _copy_in(fresh: Path, books: Books) -> None:
    """All of it or nothing."""
    if books.sqlite:
        with closing(sqlite3.connect(fresh)) as source, books.engine.connect() as target:
            source.backup(_driver(target))
        return
    with closing(Books(f"sqlite:///{fresh}")) as copy, copy.read() as source_rows, books.write() as target:
        for table in reversed(SQLModel.metadata.sorted_tables):
            target.execute(table.delete())
        copy_rows(source_rows, target)
