"""What came in: each text stored once before anything else happens, and finished once, whatever crashes.

A person's texts are finished in the order they were sent. A text that cannot be finished is tried again, then set
aside with a short apology, so that nothing behind it waits for ever.
"""

from __future__ import annotations

import logging
import unicodedata
from collections.abc import Callable
from datetime import datetime, timedelta

from sqlalchemy.exc import OperationalError
from sqlmodel import Session, col, select

from core.books.store import Books, hold_farm
from core.books.tables import Farm, Person
from service import outbox
from service.carriers import TextIn
from service.loops import too_many
from service.once import insert_once
from service.tables import Inbound
from service.words import sentences

Answer = Callable[[Session, Farm, Inbound, datetime], None]
"""The conversation: understands a text, carries out what it says, places the reply; all in the session it is given."""

NOT_KNOWN = "en"  # the language of a number that is in no books
MOST_ATTEMPTS = 3
LONGEST_BODY = 2000  # letters kept of one text; carriers bring at most 1,600
WAIT_FOR_BOOKS = timedelta(days=1)  # so long a text waits for books that are locked, full or out of reach

log = logging.getLogger(__name__)


def receive(session: Session, farm: Farm, text: TextIn, now: datetime) -> tuple[Inbound, bool]:
    """Store a text; the stored row, and whether it is new. The same text twice changes nothing."""
    phone = clean(text.phone)
    by_phone = select(Person.id).where(Person.farm_id == farm.id, Person.phone == phone)
    row = Inbound(
        farm_id=farm.id,
        id=key_of(text),
        carrier=text.carrier,
        phone=phone,
        person_id=session.exec(by_phone).first(),
        body=clean(text.body)[:LONGEST_BODY],
        media=[{key: clean(value) for key, value in medium.items()} for medium in text.media],
        sent_at=text.sent_at or now,
        received_at=now,
    )
    new = insert_once(session, row)
    return (row if new else session.get_one(Inbound, (row.farm_id, row.id))), new


def key_of(text: TextIn) -> str:
    """What makes a text the same however often, and by whatever way, it is handed over."""
    return f"{text.carrier}:{clean(text.id)}"


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


def finish(books: Books, farm_id: int, inbound_id: str, answer: Answer, now: datetime) -> None:
    """Finish a stored text, after those the same person sent before it; a text that is done stays as it is.

    Each text is one unit of work: its effect, its replies and its "done" are written together or not at all.

    Raises:
        OperationalError: the books are locked, full or out of reach; the text is not at fault, and waits.
    """
    _finish(books, farm_id, inbound_id, answer, now, wait=True)


def finish_all(books: Books, answer: Answer, now: datetime) -> int:
    """Finish every text that a crash or a fault left behind; how many there were.

    Several processes may do this at the same time: each leaves alone the farms that another one is busy with.
    """
    with books.read() as session:
        left = [(inbound.farm_id, inbound.id) for inbound in undone(session)]
    for farm_id, inbound_id in left:
        _finish(books, farm_id, inbound_id, answer, now, wait=False)
    return len(left)


def _finish(books: Books, farm_id: int, inbound_id: str, answer: Answer, now: datetime, *, wait: bool) -> None:
    going = True
    while going and (due := _next(books, farm_id, inbound_id)) is not None:
        going = _finish_one(books, due, answer, now, wait=wait)


def _next(books: Books, farm_id: int, inbound_id: str) -> Inbound | None:
    """The oldest of the person's unfinished texts, unless all that are left came after this one."""
    with books.read() as session:
        last = session.get_one(Inbound, (farm_id, inbound_id))
        first = next(iter(undone(session, farm_id=farm_id, phone=last.phone)), None)
        return first if first and _place(first) <= _place(last) else None


def _place(inbound: Inbound) -> tuple[datetime, datetime, str]:
    return (inbound.sent_at, inbound.received_at, inbound.id)


def _finish_one(books: Books, text: Inbound, answer: Answer, now: datetime, *, wait: bool) -> bool:
    """Whether it came to its turn: False where another process writes for the farm and this one does not wait."""
    try:
        with books.write() as session:
            if not hold_farm(session, text.farm_id, wait=wait):
                return False
            inbound = _locked(session, text.farm_id, text.id)
            if inbound is not None:
                outbox.lives(session, inbound.farm_id, inbound.phone)
                answer(session, session.get_one(Farm, inbound.farm_id), inbound, now)
                inbound.done_at, inbound.trouble = now, None
    except Exception as error:
        if isinstance(error, OperationalError) and now - text.received_at < WAIT_FOR_BOOKS:
            raise
        _failed(books, text.farm_id, text.id, type(error).__name__, now)
    return True


def _locked(session: Session, farm_id: int, inbound_id: str) -> Inbound | None:
    """The text, held until the unit of work ends; None where another process has finished it meanwhile."""
    unfinished = select(Inbound).where(
        Inbound.farm_id == farm_id, Inbound.id == inbound_id, col(Inbound.done_at).is_(None)
    )
    return session.exec(unfinished.with_for_update()).first()


def _failed(books: Books, farm_id: int, inbound_id: str, trouble: str, now: datetime) -> None:
    """Count the attempt; after the last one set the text aside and say sorry."""
    log.error("text %s was not finished: %s", inbound_id, trouble)
    with books.write() as session:
        hold_farm(session, farm_id)
        inbound = _locked(session, farm_id, inbound_id)
        if inbound is None:
            return
        inbound.attempts += 1
        inbound.trouble = trouble
        if inbound.attempts < MOST_ATTEMPTS:
            return
        inbound.done_at = now
        if not too_many(session, farm_id, inbound.phone, now):
            outbox.reply(session, inbound, sentences(_language(session, inbound))["sorry"], now)


def _language(session: Session, inbound: Inbound) -> str:
    theirs = select(Person.language).where(Person.farm_id == inbound.farm_id, Person.id == inbound.person_id)
    return session.exec(theirs).first() or NOT_KNOWN
