"""Moving all books from one database into another, empty one: everything or nothing, and checked before it counts."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from sqlalchemy import JSON, MetaData, RowMapping, Table, func, insert, select, text
from sqlmodel import Session, SQLModel, col

from core.books.ledger import Ledger
from core.books.migrate import is_up_to_date, migrate
from core.books.store import Books
from core.books.tables import Farm
from core.errors import BooksDiffer, BooksNotMoved

BATCH = 1000
"""Rows copied at a time."""

Progress = Callable[[str, int], object]
"""Told of each table when it is copied, and of its rows."""


def move(source: Books, target: Books, progress: Progress = lambda _table, _rows: None) -> int:
    """Copy every row of every table, parents first; how many rows. The source is locked meanwhile, and left as it is.

    Raises:
        BooksNotMoved: the source is not of the present shape, the target is not empty, or rows are missing there.
        BooksDiffer: in the target the tables do not say what the journal says. Nothing is kept there in any of these.
    """
    if not is_up_to_date(source):
        raise BooksNotMoved("the books to be moved are of an older shape; bring them up to date first: rowcall migrate")
    migrate(target)
    with source.write() as old, target.write() as new:
        _refuse_unless_empty(new)
        rows = copy_rows(old, new, progress)
        _check(new)
    return rows


def copy_rows(old: Session, new: Session, progress: Progress = lambda _table, _rows: None) -> int:
    """Every row of every table, parents first, into empty tables of the same shape; how many.

    Raises:
        BooksNotMoved: rows are missing there.
    """
    rows = 0
    for table in SQLModel.metadata.sorted_tables:
        copied = _copy(table, old, new)
        progress(table.name, copied)
        rows += copied
    _count_on(new)
    return rows


def _refuse_unless_empty(session: Session) -> None:
    full = [table.name for table in SQLModel.metadata.sorted_tables if _count(table, session)]
    if full:
        raise BooksNotMoved(f"the target is not empty: there are rows in {', '.join(full)}. Name a new database")


def _count(table: Table, session: Session) -> int:
    return int(session.execute(select(func.count()).select_from(table)).scalar_one())


def _copy(table: Table, old: Session, new: Session) -> int:
    before = _count(table, old)
    into = insert(_with_plain_nulls(table))
    for rows in _batches(table, old):
        new.execute(into, [dict(row) for row in rows])
    after = _count(table, new)
    if after != before:
        raise BooksNotMoved(f"{table.name}: {before} rows were there, {after} came over")
    return after


def _batches(table: Table, session: Session) -> Iterator[Sequence[RowMapping]]:
    in_order = select(table).order_by(*table.primary_key.columns)
    found: Any = session.execute(in_order, execution_options={"yield_per": BATCH})
    yield from found.mappings().partitions()


def _with_plain_nulls(table: Table) -> Table:
    """The table such that JSON columns take None for "nothing there": read back both ways of saying it are None."""
    copy = table.to_metadata(MetaData())
    for column in copy.columns:
        if isinstance(column.type, JSON):
            column.type = JSON(none_as_null=True)
    return copy


def _count_on(session: Session) -> None:
    """Numbers that the database gives out go on after those that came over."""
    if session.get_bind().dialect.name == "postgresql":
        session.execute(
            text("SELECT setval(pg_get_serial_sequence('farm', 'id'), max(id)) FROM farm HAVING max(id) IS NOT NULL")
        )


def _check(session: Session) -> None:
    differences = [
        f"farm {farm_id}: {one}"
        for farm_id in session.scalars(select(col(Farm.id)))
        for one in Ledger(session, farm_id).differences()
    ]
    if differences:
        raise BooksDiffer(differences)
