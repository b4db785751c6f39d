"""Fetching photos, after their text is finished: each tried a few times, then its sender is told in words."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from datetime import datetime, timedelta

from sqlmodel import col, select

from core.books.ledger import Ledger
from core.books.people import person
from core.books.store import Books, hold_farm
from core.books.tables import Farm
from core.books.vocabulary import vocabulary
from core.calendar import local_day
from core.outcome import fact
from service import outbox
from service.carriers import Carrier
from service.carriers.media import Never, NotFetched, NotYet
from service.photos.checking import NotAPicture, written_anew
from service.tables import Inbound, Photo, PhotoFile
from service.words import Speaker

AT_ONCE = 4
"""So few in one go, so that the tick that fetches them is not held up for long."""

WAITS = tuple(timedelta(seconds=s) for s in (20, 60, 300, 1800, 3600))
"""How long is waited after each attempt that failed; after the last one it is given up."""

log = logging.getLogger(__name__)

Fetched = bytes | NotFetched | NotAPicture


def fetch_due(books: Books, carriers: Mapping[str, Carrier], now: datetime) -> int:
    """Fetch the photos that are due, at most AT_ONCE; how many were kept.

    Several processes may do this at the same time: a photo that two have fetched is kept once.
    """
    return sum(_settle(books, photo, _fetched(photo, text, carriers), now) for photo, text in _due(books, now))


def _due(books: Books, now: datetime) -> list[tuple[Photo, Inbound]]:
    """The one look across all farms, over an index that holds only what waits."""
    with books.read() as session:
        waiting = select(Photo).where(Photo.state == "waiting", col(Photo.next_try_at) <= now)
        found = session.exec(waiting.order_by(col(Photo.next_try_at)).limit(AT_ONCE)).all()
        return [(one, session.get_one(Inbound, (one.farm_id, one.inbound))) for one in found]


def _fetched(photo: Photo, text: Inbound, carriers: Mapping[str, Carrier]) -> Fetched:
    carrier = carriers.get(text.carrier)
    try:
        if carrier is None or photo.url is None:
            raise Never("no_carrier")
        return written_anew(carrier.medium(photo.url))
    except (NotFetched, NotAPicture) as error:
        return error


def _settle(books: Books, photo: Photo, came: Fetched, now: datetime) -> bool:
    """Keep it, try again later, or give it up with a word to its sender; whether it is kept now."""
    with books.write() as session:
        hold_farm(session, photo.farm_id)
        row = session.get(Photo, (photo.farm_id, photo.id))
        if row is None or row.state != "waiting":
            return False
        row.attempts += 1
        if isinstance(came, bytes):
            row.state, row.url = "kept", None
            session.add(PhotoFile(farm_id=row.farm_id, id=row.id, person_id=row.person_id, jpeg=came))
            return True
        row.error = came.why
        if isinstance(came, NotYet) and row.attempts <= len(WAITS):
            row.next_try_at = now + WAITS[row.attempts - 1]
            return False
        unreadable = came.why in ("not_a_picture", "too_large")
        row.state, row.url = "refused" if unreadable else "failed", None
        log.warning("photo %s.%s ended %s: %s", row.farm_id, row.id, row.state, row.error)
        why = came.why if unreadable else None
        text = session.get_one(Inbound, (row.farm_id, row.inbound))
        farm = session.get_one(Farm, row.farm_id)
        _tell(Ledger(session, farm.id), row, text, why, now)
    return False


def _tell(ledger: Ledger, photo: Photo, text: Inbound, why: str | None, now: datetime) -> None:
    """Its sender hears what to do next; the reply to their text has gone out already."""
    words = vocabulary(ledger.session, ledger.farm_id)
    to = person(ledger, photo.person_id)
    told = fact("photo_refused", at=photo.at, why=why) if why else fact("photo_failed", at=photo.at)
    if to.phone is None or to.muted:
        return
    outbox.place(
        ledger.session, farm_id=ledger.farm_id, key=f"photo:{photo.inbound}:{photo.part}", carrier=text.carrier,
        phone=to.phone, person_id=to.id, kind="news",
        body=Speaker(to.language, words, local_day(now, words.zone)).text([told]), now=now,
    )  # fmt: skip
