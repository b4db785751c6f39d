"""What goes out: each text stored in the transaction of what it reports, then sent, followed, and given up loudly.

The record is exact: one row a key. The effect is at least once: a send whose answer was lost is looked up at the
carrier before it is tried again, so a person gets a text twice only where the carrier does not list what it took.
"""

from __future__ import annotations

import logging
import random
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import case, func, update
from sqlmodel import Session, col, select

from core.books.ledger import Ledger
from core.books.store import Books
from core.books.tables import Farm, Person
from service.carriers import Carrier, GiveUp, News, Outgoing, Retry, SendError, Sent
from service.once import insert_once
from service.segments import fold
from service.tables import Inbound, Outbound

LONGEST_BODY = 1600  # letters; carriers refuse more (Twilio error 21617, from memory)
MOST_ATTEMPTS = 12
FIRST_WAIT_S = 5.0
LONGEST_WAIT_S = 3600.0
ROUND = 30  # texts sent in one go: even at the carrier's slowest, a round ends before the lease of its last text
LEASE = timedelta(minutes=10)  # a text held longer than this was left by a crash
LOOK_UP_AFTER_S = 10.0  # the carrier lists a text a moment after taking it
CLOCK_SLACK = timedelta(minutes=2)  # between the carrier's clock and ours
LAST_WORD = timedelta(minutes=5)  # a STOP may be confirmed once within five minutes: 47 CFR 64.1200(a)(12), from memory

RANKS = {"waiting": 0, "sending": 0, "unknown": 0, "sent": 1, "delivered": 2, "failed": 2, "expired": 2, "muted": 2}
"""How far a text is. It only moves up, and nothing leaves the last rank."""

OptedOut = Callable[[Session, int, int, datetime], None]
"""Told, in the same unit of work, that by the carrier's word a person (farm, person) takes no more texts."""

_REFERENCE = re.compile(r"(\d{1,9})\.(\d{1,9})")

log = logging.getLogger(__name__)


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
    )
    return session.get_one(Outbound, (farm_id, row.id)) if insert_once(session, row) else None


def reply(session: Session, inbound: Inbound, body: str, now: datetime) -> None:
    """The one reply to a text, by the way it came."""
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
    )


def drop_waiting(session: Session, farm_id: int, person_id: int) -> None:
    """Take back every text that still waits for a person: for the unit of work in which they are muted."""
    theirs = (Outbound.farm_id == farm_id, Outbound.person_id == person_id, Outbound.state == "waiting")
    session.execute(update(Outbound).where(*theirs).values(state="muted"))  # type: ignore[arg-type]


def status(session: Session, news: News, now: datetime) -> bool:
    """Take down what a carrier tells of a text, in whatever order it comes; whether it is a text of ours."""
    row = _reported(session, news)
    if row is None:
        return False
    _advance(row, news.sent, now)
    return True


def state_counts(session: Session) -> dict[str, int]:
    """How many texts are in each state."""
    counts = select(Outbound.state, func.count()).group_by(Outbound.state)
    return dict(session.exec(counts).all())


def recover(books: Books, now: datetime) -> None:
    """At the start of the service: texts that were being sent when it was cut off are looked up at once.

    Only where one process does all the sending (SQLite). Elsewhere they may be in another's hands, and the lease tells.
    """
    if not books.sqlite:
        return
    with books.write() as session:
        cut_off = update(Outbound).where(col(Outbound.state) == "sending")
        session.execute(cut_off.values(state="unknown", next_try_at=now))


def send_due(books: Books, carriers: Mapping[str, Carrier], now: datetime, *, opted_out: OptedOut | None = None) -> int:
    """Send what is due by these carriers, at most ROUND texts; how many they took.

    A carrier in trouble is left alone until the next round. Several processes may do this at the same time.
    """
    names = set(carriers)
    taken = 0
    for _ in range(ROUND):
        held = _claim(books, names, now)
        if held is None:
            break
        result = _attempt(carriers[held.carrier], held)
        _settle(books, held, result, now, opted_out)
        taken += isinstance(result, Sent)
        if isinstance(result, SendError) and not isinstance(result, GiveUp):
            names.discard(held.carrier)
    return taken


@dataclass(frozen=True, slots=True)
class _Held:
    """A text claimed for one attempt.

    `doubtful`: an earlier attempt may have succeeded; the carrier is asked what it took since `since`, less the texts
    `known` to be others. `stop` is the state it ends in unless it did; None: it is to be sent.
    """

    farm_id: int
    id: int
    carrier: str
    text: Outgoing
    doubtful: bool
    since: datetime
    known: frozenset[str]
    stop: str | None


def _claim(books: Books, names: set[str], now: datetime) -> _Held | None:
    """The next text due, marked as being sent; texts that may not go out any more are ended on the way."""
    with books.write() as session:
        while (row := _first_due(session, names, now)) is not None:
            stop = _stop(session, row, now)
            if stop is not None and row.state == "waiting":
                _end(row, stop)
                continue
            held = _hold(session, row, stop, now)
            row.state = "sending"
            row.attempts += 1
            row.next_try_at = now + LEASE
            return held
    return None


def _first_due(session: Session, names: set[str], now: datetime) -> Outbound | None:
    """Replies before what nobody waits for; a text still "sending" is due when its lease has run out."""
    due = select(Outbound).where(
        col(Outbound.state).in_(("waiting", "unknown", "sending")),
        Outbound.next_try_at <= now,
        col(Outbound.carrier).in_(names),
    )
    order = (case((col(Outbound.kind) == "reply", 0), else_=1), col(Outbound.next_try_at), col(Outbound.id))
    return session.exec(due.order_by(*order).limit(1).with_for_update(skip_locked=True)).first()


def _hold(session: Session, row: Outbound, stop: str | None, now: datetime) -> _Held:
    since = row.created_at - CLOCK_SLACK
    others = select(Outbound.carrier_id).where(
        Outbound.farm_id == row.farm_id,
        Outbound.phone == row.phone,
        col(Outbound.sent_at) >= since - LEASE,
        col(Outbound.carrier_id).is_not(None),
    )
    text = Outgoing(
        reference=f"{row.farm_id}.{row.id}",
        sender=session.get_one(Farm, row.farm_id).phone,
        phone=row.phone,
        body=row.body,
        valid_s=max(1, int((row.expires_at - now).total_seconds())) if row.expires_at else None,
    )
    known = frozenset(filter(None, session.exec(others)))
    return _Held(row.farm_id, row.id, row.carrier, text, row.state != "waiting", since, known, stop)


def _stop(session: Session, row: Outbound, now: datetime) -> str | None:
    """The state in which a text ends unsent: too late, too often tried, or the person said STOP meanwhile.

    A reply of the last minutes still goes to who is muted: it is the one confirmation of their STOP.
    """
    if row.expires_at is not None and row.expires_at <= now:
        return "expired"
    if row.attempts >= MOST_ATTEMPTS:
        return "failed"
    person = session.get(Person, (row.farm_id, row.person_id)) if row.person_id is not None else None
    last_word = row.kind == "reply" and row.created_at > now - LAST_WORD
    return "muted" if person is not None and person.muted and not last_word else None


def _attempt(carrier: Carrier, held: _Held) -> Sent | SendError | None:
    """What came of it; None where it was not sent earlier and may not be now."""
    try:
        if held.doubtful:
            for sent in carrier.lookup(held.text, held.since):
                if sent.carrier_id not in held.known:
                    return sent
        return None if held.stop else carrier.send(held.text)
    except SendError as error:
        return error


def _settle(
    books: Books, held: _Held, result: Sent | SendError | None, now: datetime, opted_out: OptedOut | None
) -> None:
    with books.write() as session:
        row = session.get_one(Outbound, (held.farm_id, held.id), with_for_update=True)
        if isinstance(result, Sent):
            _advance(row, result, now)
        elif row.state != "sending":
            return  # the carrier's own news of it came first
        elif held.stop is not None:
            _end(row, held.stop)
        elif isinstance(result, GiveUp):
            _end(row, "failed", result.code)
            if result.opted_out and opted_out is not None and row.person_id is not None:
                opted_out(session, row.farm_id, row.person_id, now)
        elif isinstance(result, SendError):
            _try_again(row, held, result, now)


def _try_again(row: Outbound, held: _Held, error: SendError, now: datetime) -> None:
    """Later: after a pause drawn from a range that doubles with each attempt, so that many do not come back at once."""
    clear = isinstance(error, Retry) and not held.doubtful
    row.state = "waiting" if clear else "unknown"
    row.error = error.code
    asked = error.wait_s if isinstance(error, Retry) else LOOK_UP_AFTER_S
    most = min(LONGEST_WAIT_S, FIRST_WAIT_S * 2 ** (row.attempts - 1))
    pause = asked + max(1.0, random.uniform(0, most))  # noqa: S311  no secret hangs on it
    row.next_try_at = now + timedelta(seconds=pause)


def _end(row: Outbound, state: str, error: str | None = None) -> None:
    row.state = state
    row.error = error or row.error
    level = logging.WARNING if state == "failed" else logging.INFO
    log.log(level, "text %s.%s (%s) ended %s: %s", row.farm_id, row.id, row.kind, state, row.error)


def _reported(session: Session, news: News) -> Outbound | None:
    """The text the news is about: by our reference, which is there before its carrier id is stored, else by that id."""
    reference = _REFERENCE.fullmatch(news.reference or "")
    if reference is not None:
        row = session.get(Outbound, (int(reference[1]), int(reference[2])), with_for_update=True)
        if row is not None and row.carrier_id in (None, news.sent.carrier_id):
            return row
    theirs = select(Outbound).where(Outbound.carrier_id == news.sent.carrier_id)
    return session.exec(theirs.with_for_update()).first()


def _advance(row: Outbound, sent: Sent, now: datetime) -> None:
    """Take a carrier's word for how far a text is; older news than what is known already changes nothing."""
    row.carrier_id = row.carrier_id or sent.carrier_id
    row.sent_at = row.sent_at or now
    if RANKS[sent.state] <= RANKS[row.state]:
        return
    row.error = None
    if sent.state == "failed":
        _end(row, "failed", sent.error)
    else:
        row.state = sent.state
