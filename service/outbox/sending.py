"""Sending what is due: each text claimed, handed to its carrier, and settled by what came of it.

Replies go first and wait for nothing. What nobody waits for keeps to the hours of the day and to the pace of the farm's
number, so that a reply never stands behind more than a second of it at the carrier.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import islice
from zoneinfo import ZoneInfo

from sqlalchemy import ColumnElement, case, exists, func, update
from sqlmodel import Session, col, select

from core.books.store import Books, hold_farm
from core.books.tables import Farm, Person
from service.carriers import Carrier, GiveUp, Outgoing, Retry, SendError, Sent
from service.outbox import unreachable
from service.outbox.states import OptedOut, advance, end, give_up
from service.quiet import may_go_at
from service.segments import count
from service.tables import Inbound, Outbound, Pace

MOST_ATTEMPTS = 12
FIRST_WAIT_S = 5.0
LONGEST_WAIT_S = 3600.0
ROUND = 30  # texts sent in one go: even at the carrier's slowest, a round ends before the lease of its last text
LEASE = timedelta(minutes=10)  # a text held longer than this was left by a crash
LOOK_UP_AFTER_S = 15.0  # the carrier lists a text a moment after taking it; until then nobody knows
AHEAD = timedelta(seconds=1)  # by which texts may be handed over before the carrier can pass them on
CLOCK_SLACK = timedelta(minutes=2)  # between the carrier's clock and ours
LAST_WORD = timedelta(minutes=5)  # a STOP may be confirmed once within five minutes: 47 CFR 64.1200(a)(12), from memory

DUE = ("waiting", "unknown", "sending")
"""States in which a text is not at its end; one still "sending" is due when its lease has run out."""

Stop = tuple[str, str | None]
"""The state in which a text ends, and a word on why."""


def recover(books: Books, now: datetime) -> None:
    """At the start of the service: texts that were being sent when it was cut off are looked up, as soon as that tells.

    Only where one process does all the sending (SQLite). Elsewhere they may be in another's hands, and the lease tells.
    """
    if not books.sqlite:
        return
    with books.write() as session:
        cut_off = update(Outbound).where(col(Outbound.state) == "sending")
        session.execute(cut_off.values(state="unknown", next_try_at=now + timedelta(seconds=LOOK_UP_AFTER_S)))


def waiting(books: Books, names: set[str], now: datetime) -> bool:
    """Whether a text is due by one of these carriers, be it that its number's pace holds it back for a moment."""
    return bool(_farms_due(books, names, now))


def send_due(books: Books, carriers: Mapping[str, Carrier], now: datetime, *, opted_out: OptedOut | None = None) -> int:
    """Send what is due by these carriers, at most ROUND texts; how many they took.

    A carrier in trouble is left alone until the next round. Several processes may do this at the same time.
    """
    names = set(carriers)
    taken = 0
    for held in islice(_claims(books, carriers, names, now), ROUND):
        result = _attempt(carriers[held.carrier], held)
        _settle(books, held, result, now, opted_out)
        taken += isinstance(result, Sent)
        if isinstance(result, SendError) and not isinstance(result, GiveUp):
            names.discard(held.carrier)
    return taken


def _farms_due(books: Books, names: set[str], now: datetime) -> list[int]:
    """The farms with texts due by these carriers: those with a reply first, then who waits longest.

    The one look across all farms, over an index that holds no text that is at its end.
    """
    first = (func.min(_after_replies()), func.min(col(Outbound.next_try_at)))
    due = select(Outbound.farm_id).where(*_due(names, now)).group_by(col(Outbound.farm_id)).order_by(*first)
    with books.read() as session:
        return list(session.exec(due.limit(ROUND)))


def _claims(books: Books, carriers: Mapping[str, Carrier], names: set[str], now: datetime) -> Iterator[_Held]:
    """The texts due, farm by farm, each claimed when the one before it has been dealt with."""
    for farm_id in _farms_due(books, names, now):
        while (held := _claim(books, farm_id, carriers, names, now)) is not None:
            yield held


@dataclass(frozen=True, slots=True)
class _Held:
    """A text claimed for one attempt.

    `doubtful`: an earlier attempt may have succeeded; the carrier is asked what it took since `since`, less the texts
    `known` to be others. `stop` is how it ends unless it did; None: it is to be sent.
    """

    farm_id: int
    id: int
    carrier: str
    text: Outgoing
    doubtful: bool
    since: datetime
    known: frozenset[str]
    stop: Stop | None


def _claim(books: Books, farm_id: int, carriers: Mapping[str, Carrier], names: set[str], now: datetime) -> _Held | None:
    """A farm's next text due, marked as being sent; those that may not go out (now or ever) are seen to on the way."""
    with books.write() as session:
        while (row := _first_due(session, farm_id, names, now)) is not None:
            stop = _stop(session, row, now)
            if stop is not None and row.state == "waiting":
                end(row, *stop)
                continue
            allowed = now if stop else _allowed_at(session, row, now)
            if allowed > now:
                row.next_try_at = allowed
                continue
            held = _hold(session, row, stop, carriers[row.carrier], now)
            _keep_pace(session, row, carriers[row.carrier].segments_a_second, now)
            row.state = "sending"
            row.attempts += 1
            row.next_try_at = now + LEASE
            return held
    return None


def _due(names: set[str], now: datetime) -> tuple[ColumnElement[bool], ...]:
    return (col(Outbound.state).in_(DUE), col(Outbound.next_try_at) <= now, col(Outbound.carrier).in_(names))


def _after_replies() -> ColumnElement[int]:
    return case((col(Outbound.kind) == "reply", 0), else_=1)


def _first_due(session: Session, farm_id: int, names: set[str], now: datetime) -> Outbound | None:
    """Replies before what nobody waits for, and that only while its number keeps to its pace."""
    ahead = exists().where(
        col(Pace.farm_id) == farm_id,
        col(Pace.carrier) == Outbound.carrier,
        col(Pace.free_at).between(now + AHEAD, now + LEASE),  # further ahead: the clock was set back meanwhile
    )
    may_go = (col(Outbound.kind) == "reply") | ~ahead
    due = select(Outbound).where(Outbound.farm_id == farm_id, *_due(names, now), may_go)
    order = (_after_replies(), col(Outbound.next_try_at), col(Outbound.id))
    return session.exec(due.order_by(*order).limit(1).with_for_update(skip_locked=True)).first()


def _keep_pace(session: Session, row: Outbound, segments_a_second: float | None, now: datetime) -> None:
    """The number is busy with this text for as long as its segments take."""
    if segments_a_second is None:
        return
    takes = timedelta(seconds=count(row.body).parts / segments_a_second)
    pace = session.get(Pace, (row.farm_id, row.carrier), with_for_update=True)
    if pace is None:
        session.add(Pace(farm_id=row.farm_id, carrier=row.carrier, free_at=now + takes))
    else:
        pace.free_at = (pace.free_at if now <= pace.free_at <= now + LEASE else now) + takes


def _allowed_at(session: Session, row: Outbound, now: datetime) -> datetime:
    """When a text may go out by the hours of the farm's day."""
    answered = session.get(Inbound, (row.farm_id, row.reply_to)) if row.reply_to else None
    person = _person(session, row)
    zone = ZoneInfo(session.get_one(Farm, row.farm_id).timezone)
    said_at = answered.sent_at if answered else row.created_at
    return may_go_at(row.kind, said_at, now, zone, person.early_at if person else None)


def _person(session: Session, row: Outbound) -> Person | None:
    return session.get(Person, (row.farm_id, row.person_id)) if row.person_id is not None else None


def _hold(session: Session, row: Outbound, stop: Stop | None, carrier: Carrier, now: datetime) -> _Held:
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
        media=tuple(row.media) if row.media and carrier.brings_pictures(row.phone) else (),
    )
    known = frozenset(filter(None, session.exec(others)))
    return _Held(row.farm_id, row.id, row.carrier, text, row.state != "waiting", since, known, stop)


def _stop(session: Session, row: Outbound, now: datetime) -> Stop | None:
    """How a text ends unsent: too late, too often tried, a dead number, or the person said STOP.

    A reply of the last minutes still goes to who is muted: it is the one confirmation of their STOP.
    """
    if row.expires_at is not None and row.expires_at <= now:
        return "expired", None
    if row.attempts >= MOST_ATTEMPTS:
        return "failed", None
    if unreachable.is_dead(session, row.farm_id, row.phone):
        return "failed", "number gets no texts"
    person = _person(session, row)
    last_word = row.kind == "reply" and row.created_at > now - LAST_WORD
    return ("muted", None) if person is not None and person.muted and not last_word else None


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
        hold_farm(session, held.farm_id)  # before the row: a text may end with words to the coordinator
        row = session.get_one(Outbound, (held.farm_id, held.id), with_for_update=True)
        if isinstance(result, Sent):
            advance(session, row, result, now, opted_out)
        elif row.state != "sending":
            return  # the carrier's own news of it came first
        elif held.stop is not None:
            end(row, *held.stop)
        elif isinstance(result, GiveUp) and result.words_only and row.media:
            row.media, row.state, row.error, row.next_try_at = [], "waiting", result.code, now
        elif isinstance(result, GiveUp):
            give_up(session, row, result.code, result.reason, now, opted_out)
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
