"""Photos in the books: taken down with their text, tied to the trouble they show, shown, and forgotten in time."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlalchemy import delete, update
from sqlmodel import Session, col, select

from core.books.ledger import Ledger
from core.books.store import Books
from core.books.tables import Farm
from core.trouble import within
from service.once import insert_once
from service.tables import Inbound, Photo, PhotoFile


def take_down(session: Session, inbound: Inbound, person_id: int, now: datetime) -> None:
    """Each picture of a text, to be fetched soon. The same text twice changes nothing."""
    for part, medium in enumerate(inbound.media):
        insert_once(
            session,
            Photo(
                farm_id=inbound.farm_id, id=Ledger(session, inbound.farm_id).number("photo"), inbound=inbound.id,
                part=part, person_id=person_id, url=medium.get("url"), at=inbound.sent_at, next_try_at=now,
            ),
        )  # fmt: skip


def tie(session: Session, farm_id: int, person_id: int, n: int, said_at: datetime) -> int:
    """The pictures that somebody sent with, or just before, what they said of a trouble show it; how many."""
    theirs = update(Photo).where(
        col(Photo.farm_id) == farm_id,
        col(Photo.person_id) == person_id,
        col(Photo.n).is_(None),
        col(Photo.at) > said_at - within().photo,
        col(Photo.at) <= said_at,
    )
    return int(session.execute(theirs.values(n=n)).rowcount)  # type: ignore[attr-defined]


def photos_of(session: Session, farm_id: int, n: int) -> Sequence[Photo]:
    """The pictures of a trouble that can be shown, in order."""
    query = select(Photo).where(Photo.farm_id == farm_id, Photo.n == n, Photo.state == "kept")
    return session.exec(query.order_by(col(Photo.at), col(Photo.id))).all()


def jpeg(session: Session, farm_id: int, photo_id: int) -> bytes | None:
    """A picture's bytes; None where there is none (any more)."""
    found = session.get(PhotoFile, (farm_id, photo_id))
    return found.jpeg if found else None


def forget(books: Books, now: datetime, keep_days: int) -> int:
    """Delete the pictures of every farm that are older than so many days (0: none ever); how many there were."""
    if keep_days <= 0:
        return 0
    with books.read() as session:
        farms = list(session.exec(select(Farm.id)))
    return sum(_forget(books, farm_id, now - timedelta(days=keep_days)) for farm_id in farms)


def _forget(books: Books, farm_id: int, before: datetime) -> int:
    with books.write() as session:
        old = select(Photo.id).where(Photo.farm_id == farm_id, Photo.at < before)
        session.execute(delete(PhotoFile).where(col(PhotoFile.farm_id) == farm_id, col(PhotoFile.id).in_(old)))
        gone = session.execute(delete(Photo).where(col(Photo.farm_id) == farm_id, col(Photo.at) < before))
    return int(gone.rowcount)  # type: ignore[attr-defined]
