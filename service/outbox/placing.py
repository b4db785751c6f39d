"""Putting texts into the outbox, and taking back what waits there."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import update
from sqlmodel import Session

from core.books.ledger import Ledger
from service.once import insert_once
from service.segments import fold
from service.tables import Inbound, Outbound

LONGEST_BODY = 1600  # letters; carriers refuse more (Twilio error 21617, from memory)


def place(
    session: Session,
    *,
    farm_id: int,
    key: str,
    carrier: str,
    phone: str,
    person_id: int | None,
    kind: str,
    body: str,
    now: datetime,
    reply_to: str | None = None,
    expires_at: datetime | None = None,
    not_before: datetime | None = None,
    media: Sequence[str] = (),
) -> Outbound | None:
    """Put a text in the outbox, folded to the plain alphabet of phones; None where its key was used before.

    Raises:
        ValueError: the text is empty.
    """
    words = fold(body).strip()
    if not words:
        raise ValueError(f"an empty text: {key}")
    row = Outbound(
        farm_id=farm_id,
        id=Ledger(session, farm_id).number("text"),
        key=key,
        carrier=carrier,
        phone=phone,
        person_id=person_id,
        kind=kind,
        body=words if len(words) <= LONGEST_BODY else words[: LONGEST_BODY - 3] + "...",
        reply_to=reply_to,
        next_try_at=max(now, not_before or now),
        expires_at=expires_at,
        created_at=now,
        media=list(media),
    )
    return session.get_one(Outbound, (farm_id, row.id)) if insert_once(session, row) else None


def reply(session: Session, inbound: Inbound, body: str, now: datetime, media: Sequence[str] = ()) -> None:
    """The one reply to a text, by the way it came, with addresses of pictures where there are some."""
    place(
        session,
        farm_id=inbound.farm_id,
        key=f"reply:{inbound.id}",
        carrier=inbound.carrier,
        phone=inbound.phone,
        person_id=inbound.person_id,
        kind="reply",
        body=body,
        now=now,
        reply_to=inbound.id,
        media=media,
    )


def drop_waiting(session: Session, farm_id: int, person_id: int) -> None:
    """Take back every text that still waits for a person: for the unit of work in which they are muted."""
    theirs = (Outbound.farm_id == farm_id, Outbound.person_id == person_id, Outbound.state == "waiting")
    session.execute(update(Outbound).where(*theirs).values(state="muted"))  # type: ignore[arg-type]
