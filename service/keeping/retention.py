"""How long the words of texts are kept. What was recorded from them stays in the journal."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import JSON, null, type_coerce, update
from sqlmodel import Session, col, select

from core.books.store import Books
from core.books.tables import Farm
from service.tables import Inbound, Outbound

OVER = ("sent", "delivered", "failed", "expired", "muted")
"""States in which a text out waits for nothing more."""


def forget_everywhere(books: Books, now: datetime, keep_days: int) -> int:
    """The same for every farm, each in a unit of work of its own."""
    if keep_days <= 0:
        return 0
    with books.read() as session:
        farms = list(session.exec(select(Farm.id)))
    emptied = 0
    for farm_id in farms:
        with books.write() as session:
            emptied += forget_words(session, farm_id, now, keep_days)
    return emptied


def forget_words(session: Session, farm_id: int, now: datetime, keep_days: int) -> int:
    """Empty the texts of one farm that are older than so many days (0: none ever); how many there were.

    The row stays, with its times and states: it proves that a text came once and what became of it.
    """
    if keep_days <= 0:
        return 0
    before = now - timedelta(days=keep_days)
    came = update(Inbound).where(
        col(Inbound.farm_id) == farm_id,
        col(Inbound.received_at) < before,
        col(Inbound.done_at).is_not(None),
        col(Inbound.body) != "",
    )
    went = update(Outbound).where(
        col(Outbound.farm_id) == farm_id,
        col(Outbound.created_at) < before,
        col(Outbound.state).in_(OVER),
        col(Outbound.body) != "",
    )
    emptied = {"body": "", "media": type_coerce([], JSON), "reading": null()}
    return _rows(session.execute(came.values(**emptied))) + _rows(session.execute(went.values(body="")))


def _rows(result: Any) -> int:
    return int(result.rowcount)
