"""Texts that never reached us: the carrier keeps a list of what was sent to a farm, and what is missing is taken in.

A carrier hands a text over once or twice and then no more; while this service, its line or its proxy was down, its list
is all there is. Taking in a text twice changes nothing, so the list is read with an overlap.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

from sqlmodel import Session, col, or_, select

from core.books.store import Books
from core.books.tables import Farm
from service import inbox
from service.carriers import Carrier, SendError, TextIn
from service.tables import Heard, Inbound

EVERY = timedelta(minutes=10)
OVERLAP = timedelta(minutes=30)
"""A text may be listed a while after it was sent."""

MOST_FARMS = 20
"""Farms asked about in one go, so that many of them, or a slow carrier, keep no tick from ending."""

Wake = Callable[[int, str], None]

log = logging.getLogger(__name__)


def catch_up(books: Books, carrier: Carrier, now: datetime, wake: Wake) -> int:
    """Take in what the carrier lists and we do not have, for the farms not compared lately; how many texts that were.

    `wake` is told (farm, text) of each. A carrier that cannot be asked is asked again at the next tick.
    """
    with books.read() as session:
        farms = _due(session, carrier.name, now)
    found = 0
    for farm_id, number, until in farms:
        try:
            listed = list(carrier.received(number, min(until, now) - OVERLAP)) if until else []
        except SendError as error:
            log.warning("the list of %s could not be read: %s", carrier.name, error.code)
            break
        found += _take_in(books, farm_id, carrier.name, listed, now, wake)
    return found


def _due(session: Session, carrier: str, now: datetime) -> Sequence[tuple[int, str, datetime | None]]:
    """Farms with their number and the moment up to which they were compared (None: never), the longest ago first."""
    query = (
        select(Farm.id, Farm.phone, Heard.until)
        .outerjoin(Heard, (col(Heard.farm_id) == Farm.id) & (col(Heard.carrier) == carrier))
        .where(or_(col(Heard.until).is_(None), col(Heard.until) <= now - EVERY, col(Heard.until) > now))
    )
    return list(session.exec(query.order_by(col(Heard.until)).limit(MOST_FARMS)))


def _take_in(books: Books, farm_id: int, carrier: str, listed: Sequence[TextIn], now: datetime, wake: Wake) -> int:
    """Store what is new, and up to when the list was read, together; then wake who finishes texts."""
    with books.write() as session:
        farm = session.get_one(Farm, farm_id)
        stored = [inbox.receive(session, farm, text, now) for text in listed if not _is_known(session, farm_id, text)]
        session.merge(Heard(farm_id=farm_id, carrier=carrier, until=now))
    new = [row.id for row, is_new in stored if is_new]
    if new:
        log.warning("%s texts to farm %s had not been handed over and were fetched", len(new), farm_id)
    for inbound_id in new:
        wake(farm_id, inbound_id)
    return len(new)


def _is_known(session: Session, farm_id: int, text: TextIn) -> bool:
    return session.get(Inbound, (farm_id, inbox.key_of(text))) is not None
