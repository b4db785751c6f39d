"""Who may see the board: codes sent by text, and the sessions they open. Everything is kept hashed.

A code lives ten minutes, bears five tries, and opens once; the newest of a number is the one that counts. Nothing here
tells a number that is on the farm from one that is not: both are written down, and both take as long.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import delete, func
from sqlmodel import Session, col, select

from core.books.ledger import Ledger
from core.books.people import by_phone
from core.books.tables import Farm, Person
from service.board.pages import MAY
from service.tables import SignedIn, SignInCode

CODE_LIVES = timedelta(minutes=10)
MOST_TRIES = 5
MOST_CODES_AN_HOUR = 3
"""15 guesses an hour at one code in a million, for each number."""

IDLE = timedelta(hours=2)
LONGEST = timedelta(hours=12)
"""A session ends when nothing was looked at for two hours (an open page that is live is looked at), or after a day of
work."""

TOUCH = timedelta(minutes=5)  # a session is not written anew for every click
KEPT = timedelta(days=1)
SCRYPT = {"n": 2**12, "r": 8, "p": 1}
"""About 15 ms a guess for somebody who has the books. A code is worthless after ten minutes, so no more is spent."""


@dataclass(frozen=True, slots=True)
class Seat:
    """Somebody signed in: the session's row, who it is, and on which farm."""

    signed_in: SignedIn
    person: Person
    farm: Farm


def new_code() -> str:
    """Six digits, each as likely as any."""
    return f"{secrets.randbelow(10**6):06}"


def keep_code(session: Session, farm_id: int, phone: str, code: str, now: datetime) -> Person | None:
    """Write a code down for a number, and say whom to text it to: None where it is nobody's who may see the board.

    At most three an hour are written; beyond that nothing happens.
    """
    session.execute(delete(SignInCode).where(col(SignInCode.farm_id) == farm_id, col(SignInCode.asked_at) < now - KEPT))
    lately = select(func.count()).where(
        SignInCode.farm_id == farm_id,
        SignInCode.phone == phone,
        col(SignInCode.asked_at) > now - timedelta(hours=1),
    )
    if session.exec(lately).one() >= MOST_CODES_AN_HOUR:
        return None
    ledger = Ledger(session, farm_id)
    kept = SignInCode(
        farm_id=farm_id, id=ledger.number("sign-in code"), phone=phone, code_hash=_salted(code), asked_at=now
    )
    session.add(kept)
    return _entitled(ledger, phone)


def _entitled(ledger: Ledger, phone: str) -> Person | None:
    person = by_phone(ledger, phone)
    return person if person is not None and _may(person) else None


def _may(person: Person) -> bool:
    return person.state == "here" and person.role in MAY["lead"]


def open_with(session: Session, farm_id: int, phone: str, code: str, now: datetime) -> Person | None:
    """Whom a code signs in; None where it is wrong, too old, used, or tried too often. The try is counted."""
    newest = select(SignInCode).where(
        SignInCode.farm_id == farm_id, SignInCode.phone == phone, col(SignInCode.asked_at) > now - CODE_LIVES
    )
    order = (col(SignInCode.asked_at).desc(), col(SignInCode.id).desc())
    kept = session.exec(newest.order_by(*order).limit(1).with_for_update()).first()
    right = _is(code, kept.code_hash if kept else _NOBODYS)
    if kept is None or kept.used or kept.tries >= MOST_TRIES:
        return None
    kept.tries += 1
    if not right:
        return None
    kept.used = True
    return _entitled(Ledger(session, farm_id), phone)


def begin(session: Session, person: Person, language: str, now: datetime) -> str:
    """Sign somebody in; the secret for their browser. Sessions that are over are forgotten on the way."""
    over = (col(SignedIn.seen_at) < now - IDLE) | (col(SignedIn.began_at) < now - LONGEST)
    session.execute(delete(SignedIn).where(col(SignedIn.farm_id) == person.farm_id, over))
    token = f"{person.farm_id}.{secrets.token_urlsafe(32)}"
    session.add(
        SignedIn(
            farm_id=person.farm_id,
            token_hash=_plain_hash(token),
            person_id=person.id,
            language=language,
            began_at=now,
            seen_at=now,
        )
    )
    return token


def seat(session: Session, token: str, now: datetime) -> Seat | None:
    """Who a browser's secret belongs to; None where it is nobody's, or over, or they may not see the board any more."""
    row = _row(session, token)
    if row is None or row.seen_at < now - IDLE or row.began_at < now - LONGEST:
        return None
    person = session.get(Person, (row.farm_id, row.person_id))
    if person is None or not _may(person):
        return None
    return Seat(row, person, session.get_one(Farm, row.farm_id))


def is_stale(row: SignedIn, now: datetime) -> bool:
    """Whether it is time to write down again that a session is in use."""
    return row.seen_at < now - TOUCH


def touch(session: Session, token: str, now: datetime, language: str | None = None) -> None:
    """A session is in use; it may choose another language."""
    row = _row(session, token)
    if row is not None:
        row.seen_at = now
        row.language = language or row.language


def end(session: Session, token: str) -> None:
    """Sign out."""
    row = _row(session, token)
    if row is not None:
        session.delete(row)


def form_token(token: str) -> str:
    """What a form of this browser carries, so that it is told from a form somebody else made."""
    return hmac.new(token.encode(), b"form", hashlib.sha256).hexdigest()


def _row(session: Session, token: str) -> SignedIn | None:
    farm_id = token.partition(".")[0]
    if not (farm_id.isascii() and farm_id.isdigit() and len(farm_id) < 10):
        return None
    return session.get(SignedIn, (int(farm_id), _plain_hash(token)))


def _plain_hash(token: str) -> str:
    """256 random bits need no salt and no slowness."""
    return hashlib.sha256(token.encode()).hexdigest()


def _salted(code: str, salt: str | None = None) -> str:
    salt = salt or secrets.token_hex(8)
    return f"{salt}.{hashlib.scrypt(code.encode(), salt=salt.encode(), **SCRYPT).hex()}"


def _is(code: str, kept: str) -> bool:
    return hmac.compare_digest(_salted(code, kept.partition(".")[0]), kept)


_NOBODYS = _salted(secrets.token_hex(8))
"""What a code is compared with where none was asked for, so that it takes as long."""
