"""When the clockwork looks at a farm again."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import Index
from sqlmodel import SQLModel

from core.books.tables.columns import farm_key, instant


class NextLook(SQLModel, table=True):
    """The moment `at` which something may fall due on a farm that is not due yet; long past: it was written in since.

    Its index is the only one that the farm does not lead: it finds the few farms to look at among all.
    """

    __table_args__ = (Index("ix_next_look_at", "at"),)
    __tablename__ = "next_look"

    farm_id: int = farm_key()
    at: datetime = instant()
