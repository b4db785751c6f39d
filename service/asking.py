"""How often people are asked for more than their own shifts."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlmodel import col, func, select

from core.books.ledger import Ledger
from core.books.tables import Farm, Person
from service.tables import Outbound

ASKING = ("offer", "when")
"""Kinds of text that ask somebody for more than their own shifts: to step in, and when they can come."""

WEEK = timedelta(days=7)


def may_be_asked(ledger: Ledger, farm: Farm, person: Person, now: datetime) -> bool:
    """Whether somebody may be asked: they agreed, can be reached, and were not asked too often in the last week."""
    if not (person.agreed and not person.muted and person.phone and person.state == "here"):
        return False
    asked = select(func.count()).where(
        Outbound.farm_id == farm.id,
        Outbound.person_id == person.id,
        col(Outbound.kind).in_(ASKING),
        col(Outbound.created_at) > now - WEEK,
    )
    return ledger.session.exec(asked).one() < farm.texts_a_week
