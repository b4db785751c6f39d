"""The journal: every recorded note, never edited, and the postings that followed from it."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import Index
from sqlmodel import SQLModel

from core.books.tables.columns import farm_key, instant, json_value, key


class Entry(SQLModel, table=True):
    """One note as it was recorded.

    `n` counts up a farm; `person_id` said it at `said_at`, in the text `source` (None for the farm's own entries);
    `note` is its record. `happened_at`: when it was so, where an earlier day was said; noon where no hour was.
    `for_id`: whose it is, where somebody else said it for them.
    `reverses` is set only in a reversal: the entry taken back by it.
    """

    __table_args__ = (
        Index("ix_entry_reverses", "farm_id", "reverses", unique=True),
        Index("ix_entry_person", "farm_id", "person_id", "n"),
        Index("ix_entry_source", "farm_id", "source"),
    )

    farm_id: int = farm_key()
    n: int = key()
    act: str
    note: dict[str, Any] = json_value()
    person_id: int | None = None
    said_at: datetime = instant()
    written_at: datetime = instant()
    happened_at: datetime | None = instant(default=None, nullable=True)
    for_id: int | None = None
    source: str | None = None
    reverses: int | None = None


class Posting(SQLModel, table=True):
    """One change that an entry made to one row: a whole row recorded, a number added to, or a field put.

    `account` is the table, `row` the row's key within the farm. `verb`: "record" (value holds the row), "add" or
    "put" (value holds field -> number or value).
    """

    __table_args__ = (Index("ix_posting_row", "farm_id", "account", "row"),)

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    account: str
    row: str
    verb: str
    value: dict[str, Any] = json_value()
