"""Which farms have something to see to: a farm is looked at when something falls due or its books were written in.

So a tick costs what is due, however many farms there are.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from sqlalchemy import or_, update
from sqlalchemy.dialects import postgresql, sqlite
from sqlmodel import Session, col, select

from core.books.tables import NextLook

AT_ONCE = datetime(1970, 1, 1, tzinfo=UTC)
AT_LEAST_EVERY = timedelta(minutes=15)
"""So often a farm is looked at in any case. A look further ahead than this was set by a clock that ran fast."""

HELD_FOR = timedelta(minutes=2)
"""A farm that a process took and did not see to in this time was left by a crash."""


def look_at_once(session: Session, farm_id: int) -> None:
    """The farm's books are written in: what is due may be another thing now."""
    insert: Any = sqlite.insert if session.get_bind().dialect.name == "sqlite" else postgresql.insert
    first = insert(NextLook).values(farm_id=farm_id, at=AT_ONCE)
    session.execute(first.on_conflict_do_update(index_elements=["farm_id"], set_={"at": AT_ONCE}))


def take(session: Session, now: datetime, most: int) -> list[int]:
    """Farms to be looked at now, taken for this process; those that another one is just taking are left to it."""
    at = col(NextLook.at)
    due = select(NextLook.farm_id).where(or_(at <= now, at > now + AT_LEAST_EVERY)).order_by(at)
    farms = list(session.exec(due.limit(most).with_for_update(skip_locked=True)))
    session.execute(update(NextLook).where(col(NextLook.farm_id).in_(farms)).values(at=now + HELD_FOR))
    return farms


def rest_until(session: Session, farm_id: int, now: datetime, at: datetime) -> None:
    """The farm is seen to until `at`. For a unit of work that holds it, so that nothing was written in meanwhile."""
    until = min(at, now + AT_LEAST_EVERY)
    session.execute(update(NextLook).where(col(NextLook.farm_id) == farm_id).values(at=until))
