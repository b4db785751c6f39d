"""How far a text is: only ever further, in whatever order a carrier tells of it, and given up loudly."""

from __future__ import annotations

import logging
import re
from collections.abc import Callable
from datetime import datetime

from sqlalchemy import func
from sqlmodel import Session, select

from core.books.store import hold_farm
from core.books.tables import Farm
from service.carriers import News, Reason, Sent
from service.outbox import unreachable
from service.tables import Outbound

RANKS = {"waiting": 0, "sending": 0, "unknown": 0, "sent": 1, "delivered": 2, "failed": 2, "expired": 2, "muted": 2}
"""How far a text is. It only moves up, and nothing leaves the last rank."""

OptedOut = Callable[[Session, int, int, datetime], None]
"""Told, in the same unit of work, that by the carrier's word a person (farm, person) takes no more texts."""

_REFERENCE = re.compile(r"(\d{1,9})\.(\d{1,9})")

log = logging.getLogger(__name__)


def status(session: Session, news: News, now: datetime, *, opted_out: OptedOut | None = None) -> bool:
    """Take down what a carrier tells of a text, in whatever order it comes; whether it is a text of ours."""
    row = _reported(session, news)
    if row is None:
        return False
    advance(session, row, news.sent, now, opted_out)
    return True


def state_counts(session: Session) -> dict[str, int]:
    """How many texts are in each state."""
    counts = select(Outbound.state, func.count()).group_by(Outbound.state)
    return dict(session.exec(counts).all())


def advance(session: Session, row: Outbound, sent: Sent, now: datetime, opted_out: OptedOut | None) -> None:
    """Take a carrier's word for how far a text is; older news than what is known already changes nothing."""
    row.carrier_id = row.carrier_id or sent.carrier_id
    row.sent_at = row.sent_at or now
    if RANKS[sent.state] <= RANKS[row.state]:
        return
    row.error = None
    if sent.state == "failed":
        give_up(session, row, sent.error, sent.reason, now, opted_out)
    else:
        row.state = sent.state


def give_up(
    session: Session, row: Outbound, code: str | None, reason: Reason | None, now: datetime, opted_out: OptedOut | None
) -> None:
    """The carrier will not bring this text to its number: end it, and see to the number where the code is about it."""
    end(row, "failed", code)
    if reason is None:
        return
    if reason == "unsubscribed" and opted_out is not None and row.person_id is not None:
        opted_out(session, row.farm_id, row.person_id, now)
    unreachable.number_fails(session, row, reason, now)


def end(row: Outbound, state: str, error: str | None = None) -> None:
    """The text stops here."""
    row.state = state
    row.error = error or row.error
    level = logging.WARNING if state == "failed" else logging.INFO
    log.log(level, "text %s.%s (%s) ended %s: %s", row.farm_id, row.id, row.kind, state, row.error)


def _reported(session: Session, news: News) -> Outbound | None:
    """The text the news is about: by our reference, which is there before its carrier id is stored, else by that id."""
    reference = _REFERENCE.fullmatch(news.reference or "")
    if reference is not None:
        farm_id = int(reference[1])
        hold_farm(session, farm_id)  # before the row: a text may end with words to the coordinator
        row = session.get(Outbound, (farm_id, int(reference[2])), with_for_update=True)
        if row is not None and row.carrier_id in (None, news.sent.carrier_id):
            return row
    farm = session.exec(select(Farm).where(Farm.phone == news.number)).first() if news.number else None
    if farm is None:
        return None
    hold_farm(session, farm.id)
    theirs = select(Outbound).where(Outbound.farm_id == farm.id, Outbound.carrier_id == news.sent.carrier_id)
    return session.exec(theirs.with_for_update()).first()
