"""Readings of equipment, written many at a time and once each, and taken out again by who delivered them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import delete
from sqlalchemy.dialects import postgresql, sqlite
from sqlmodel import Session, col

from core.books.tables import Sample
from core.readings.admission import Taken

AT_ONCE = 500
"""Rows in one statement; SQLite takes 32,766 values in one, six a row."""


def write_once(session: Session, farm_id: int, source: str, readings: Sequence[Taken]) -> list[Taken]:
    """Write readings that are not there yet; those that were written, in no order.

    A reading is the same as one that is there when source, measure, place and moment are.
    """
    insert: Any = sqlite.insert if session.get_bind().dialect.name == "sqlite" else postgresql.insert
    written: list[Taken] = []
    for start in range(0, len(readings), AT_ONCE):
        rows = [
            {
                "farm_id": farm_id,
                "source": source,
                "measure": one.measure,
                "place": one.place,
                "at": one.at,
                "value": one.value,
            }
            for one in readings[start : start + AT_ONCE]
        ]
        table = Sample.__table__  # type: ignore[attr-defined]
        once = insert(table).values(rows).on_conflict_do_nothing()
        fresh = session.execute(once.returning(table.c.measure, table.c.place, table.c.at, table.c.value))
        written += [Taken(measure, value, place, at) for measure, place, at, value in fresh]
    return written


def take_out(session: Session, farm_id: int, source: str, start: datetime | None, end: datetime | None) -> int:
    """Take the readings of a source out of the books, of all times or from `start` to before `end`; how many."""
    query = delete(Sample).where(col(Sample.farm_id) == farm_id, col(Sample.source) == source)
    if start is not None:
        query = query.where(col(Sample.at) >= start)
    if end is not None:
        query = query.where(col(Sample.at) < end)
    return int(session.execute(query).rowcount)  # type: ignore[attr-defined]
