"""Writing a row once: whoever comes second finds the key taken and changes nothing, without having looked first."""

from __future__ import annotations

from typing import Any

from sqlalchemy import inspect
from sqlalchemy.dialects import postgresql, sqlite
from sqlmodel import Session, SQLModel


def insert_once(session: Session, row: SQLModel) -> bool:
    """Write the row unless one of its unique keys is taken; whether it was written.

    The row itself stays outside the session; look it up where it is needed.
    """
    insert: Any = sqlite.insert if session.get_bind().dialect.name == "sqlite" else postgresql.insert
    table = inspect(type(row)).local_table
    values = {name: value for name, value in row.model_dump().items() if value is not None}
    once = insert(table).values(**values).on_conflict_do_nothing().returning(*table.primary_key.columns)
    return session.execute(once).first() is not None
