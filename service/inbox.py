"""What came in: each text stored once before anything else happens, and finished once, whatever crashes.

A person's texts are finished in the order they were sent. A text that cannot be finished is tried again, then set
aside with a short apology, so that nothing behind it waits for ever.
"""

from __future__ import annotations

import logging
import unicodedata
from collections.abc import Callable
from datetime import datetime, timedelta

from sqlalchemy import func
from sqlmodel import Session, col, select

from core.books.store import Books
from core.books.tables import Farm, Person
from service import outbox
from service.carriers import TextIn
from service.once import insert_once
from service.tables import Inbound, Outbound

Answer = Callable[[Session, Farm, Inbound, datetime], None]
"""The conversation: understands a text, carries out what it says, places the reply; all in the session it is given."""

APOLOGY = "Sorry, something went wrong here and your text was kept. Please tell the coordinator."
MOST_ATTEMPTS = 3
LONGEST_BODY = 2000  # letters kept of one text; carriers bring at most 1,600
MOST_REPLIES_A_MINUTE = 20  # a phone that finds its signal again sends a day's texts at once
MOST_REPEATS_AN_HOUR = 6
MOST_SHORT_REPEATS_AN_HOUR = 10  # "ok", "1" and "done" answer many questions in an hour
SHORT = 8  # letters

log = logging.getLogger(__name__)


def receive(session: Session, farm: Farm, text: TextIn, now: datetime) -> tuple[Inbound, bool]:
    """Store a text; the stored row, and whether it is new. The same text twice changes nothing."""
    phone = clean(text.phone)
    by_phone = select(Person.id).where(Person.farm_id == farm.id, Person.phone == phone)
    row = Inbound(
        farm_id=farm.id,
        id=f"{text.carrier}:{clean(text.id)}",
        carrier=text.carrier,
        phone=phone,
        person_id=session.exec(by_phone).first(),
        body=clean(text.body)[:LONGEST_BODY],
        media=[{key: clean(value) for key, value in medium.items()} for medium in text.media],
        sent_at=text.sent_at or now,
        received_at=now,
    )
    new = insert_once(session, row)
    return session.get_one(Inbound, (row.farm_id, row.id)), new


def clean(text: str) -> str:
    """The text without control characters (the database refuses some of them), its line ends and tabs kept."""
    return "".join(letter for letter in text if letter in "\n\t" or unicodedata.category(letter) not in ("Cc", "Cs"))


def undone(session: Session, *, farm_id: int | None = None, phone: str | None = None) -> list[Inbound]:
    """The texts still to be finished, of all farms or one, of all numbers or one: each number's in the order sent."""
    query = select(Inbound).where(col(Inbound.done_at).is_(None))
    if farm_id is not None:
        query = query.where(Inbound.farm_id == farm_id)
    if phone is not None:
        query = query.where(Inbound.phone == phone)
    order = (Inbound.farm_id, Inbound.phone, Inbound.sent_at, Inbound.received_at, Inbound.id)
    return list(session.exec(query.order_by(*order)))  # type: ignore[arg-type]


def finish(
    books: Books, farm_id: int, inbound_id: str, answer: Answer, now: datetime, *, apology: str = APOLOGY
) -> None:
    """Finish a stored text, after those the same person sent before it; a text that is done stays as it is.

    Each text is one unit of work: its effect, its replies and its "done" are written together or not at all.
    """
    while (due := _next(books, farm_id, inbound_id)) is not None:
        _finish_one(books, farm_id, due, answer, now, apology)


def finish_all(books: Books, answer: Answer, now: datetime, *, apology: str = APOLOGY) -> int:
    """Finish every text that a crash or a fault left behind; how many there were."""
    with books.read() as session:
        left = [(inbound.farm_id, inbound.id) for inbound in undone(session)]
    for farm_id, inbound_id in left:
        finish(books, farm_id, inbound_id, answer, now, apology=apology)
    return len(left)


def _next(books: Books, farm_id: int, inbound_id: str) -> str | None:
    """The oldest of the person's unfinished texts, unless all that are left came after this one."""
    with books.read() as session:
        last = session.get_one(Inbound, (farm_id, inbound_id))
        first = next(iter(undone(session, farm_id=farm_id, phone=last.phone)), None)
        return first.id if first and _place(first) <= _place(last) else None


def _place(inbound: Inbound) -> tuple[datetime, datetime, str]:
    return (inbound.sent_at, inbound.received_at, inbound.id)


def _finish_one(books: Books, farm_id: int, inbound_id: str, answer: Answer, now: datetime, apology: str) -> None:
    try:
        with books.write() as session:
            inbound = _locked(session, farm_id, inbound_id)
            if inbound is not None:
                answer(session, session.get_one(Farm, farm_id), inbound, now)
                inbound.done_at, inbound.trouble = now, None
    except Exception as error:  # noqa: BLE001  whatever stopped it, the texts behind it must not wait for ever
        _failed(books, farm_id, inbound_id, type(error).__name__, now, apology)


def _locked(session: Session, farm_id: int, inbound_id: str) -> Inbound | None:
    """The text, held until the unit of work ends; None where another process has finished it meanwhile."""
    unfinished = select(Inbound).where(
        Inbound.farm_id == farm_id, Inbound.id == inbound_id, col(Inbound.done_at).is_(None)
    )
    return session.exec(unfinished.with_for_update()).first()


def _failed(books: Books, farm_id: int, inbound_id: str, trouble: str, now: datetime, apology: str) -> None:
    """Count the attempt; after the last one set the text aside and say sorry."""
    log.error("text %s was not finished: %s", inbound_id, trouble)
    with books.write() as session:
        inbound = _locked(session, farm_id, inbound_id)
        if inbound is None:
            return
        inbound.attempts += 1
        inbound.trouble = trouble
        if inbound.attempts < MOST_ATTEMPTS:
            return
        inbound.done_at = now
        if not too_many(session, farm_id, inbound.phone, now):
            outbox.reply(session, inbound, apology, now)


def too_many(session: Session, farm_id: int, phone: str, now: datetime) -> bool:
    """Whether to be silent to a number, since a machine seems to be answering us.

    That is where it got twenty replies within a minute, or sent the words of its last text six times within an hour.
    """
    replies = select(func.count()).where(
        Outbound.farm_id == farm_id,
        Outbound.phone == phone,
        Outbound.kind == "reply",
        Outbound.created_at > now - timedelta(minutes=1),
    )
    if session.exec(replies).one() >= MOST_REPLIES_A_MINUTE:
        return True
    recent = select(Inbound.body).where(
        Inbound.farm_id == farm_id, Inbound.phone == phone, Inbound.received_at > now - timedelta(hours=1)
    )
    bodies = list(session.exec(recent.order_by(col(Inbound.received_at), col(Inbound.id))))
    if not bodies:
        return False
    most = MOST_SHORT_REPEATS_AN_HOUR if len(bodies[-1]) <= SHORT else MOST_REPEATS_AN_HOUR
    return bodies.count(bodies[-1]) >= most
