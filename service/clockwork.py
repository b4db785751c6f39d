"""The farm's own initiative: each tick asks what is due now, and does it once, however many processes tick.

A piece of work is a row in the ledger of due work, written in the transaction of its effect. What is due follows from
the books and the moment, so a tick that comes late, twice or never does no harm. The ticks themselves are counted by
the machine's steady clock: setting the other one forward or back neither stops nor hurries them.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping
from datetime import date, datetime, timedelta
from functools import partial
from typing import Protocol
from zoneinfo import ZoneInfo

from sqlmodel import Session

from core.acts.daily import make_tasks, roll_shifts
from core.books import looks
from core.books.ledger import Ledger, Told
from core.books.people import person
from core.books.store import Books
from core.books.tables import Farm, Person, Shift, ShiftPlace
from core.calendar import local_day
from service import alarms, inbox, outbox, reconcile, rounds, standins
from service.carriers import Carrier
from service.due import Due, due_now, next_opening, send_by
from service.keeping.retention import forget_everywhere
from service.once import insert_once
from service.photos import keeping
from service.photos.fetching import fetch_due
from service.questions import ask_attendance
from service.tables import DueWork
from service.ticking import Ticking

EVERY_S = 20
"""Seconds between two ticks."""

FARMS_AT_ONCE = 20
"""So few are taken at a time, so that several processes share a morning of many farms."""

STALLED_AFTER = timedelta(seconds=6 * EVERY_S)
NOBODY = 0
"""The person of work that is the whole farm's."""

Place = Callable[..., object]
"""`outbox.place` with its carrier chosen."""

log = logging.getLogger(__name__)


class Line(Protocol):
    """What the clockwork needs of the process it runs in."""

    @property
    def books(self) -> Books:
        """The database of all farms."""

    @property
    def clock(self) -> Callable[[], datetime]:
        """Now, as an aware instant."""

    @property
    def conversation(self) -> inbox.Answer:
        """What finishes a text that came in."""

    @property
    def carriers(self) -> Mapping[str, Carrier]:
        """Who carries texts, by name."""

    def wake(self, farm_id: int, inbound_id: str) -> None:
        """A stored text is to be finished."""

    def send_soon(self) -> None:
        """Texts were placed."""


class Clockwork:
    """The tick."""

    def __init__(self, line: Line, carrier: str, keep_texts_days: int = 0) -> None:
        self._line = line
        self._carrier = carrier
        self._place = partial(outbox.place, carrier=carrier)
        self._ticking = Ticking(self.round, timedelta(seconds=EVERY_S))
        self._last: datetime | None = None
        self._keep_texts_days = keep_texts_days
        self._forgot: date | None = None

    def start(self) -> None:
        """Tick now, and then again and again."""
        self._ticking.start()

    def stop(self) -> None:
        """Let the running tick end, and tick no more."""
        self._ticking.stop()

    def state(self) -> str:
        """ "off", "running", or "stalled" where the last tick is too long ago."""
        if not self._ticking.running:
            return "off"
        late = self._last is not None and abs(self._line.clock() - self._last) > STALLED_AFTER
        return "stalled" if late else "running"

    def round(self) -> None:
        """One tick: what is due, texts a crash left unfinished, texts that never reached us, and sending."""
        line, now = self._line, self._line.clock()
        try:
            tick(line.books, now, self._place)
            inbox.finish_all(line.books, line.conversation, now)
            reconcile.catch_up(line.books, line.carriers[self._carrier], now, line.wake)
            line.send_soon()
            fetch_due(line.books, line.carriers, now)
            self._forget(now)
            self._last = now
        except Exception as error:  # noqa: BLE001  the thread outlives it: all that is due stays due
            log.error("a tick failed and is tried again: %s", type(error).__name__)

    def _forget(self, now: datetime) -> None:
        """Once a day, empty the texts that are old enough."""
        if self._forgot != now.date():
            forget_everywhere(self._line.books, now, self._keep_texts_days)
            keeping.forget(self._line.books, now, self._keep_texts_days)
            self._forgot = now.date()


def tick(books: Books, now: datetime, place: Place) -> int:
    """Do what is due at this moment and was not done before, on the farms that have such; how many pieces of work."""
    done = 0
    while farms := _taken(books, now):
        done += sum(_of_farm(books, farm_id, now, place) for farm_id in farms)
    return done


def _taken(books: Books, now: datetime) -> list[int]:
    with books.write() as session:
        return looks.take(session, now, FARMS_AT_ONCE)


def _of_farm(books: Books, farm_id: int, now: datetime, place: Place) -> int:
    """The morning's work first: lists and digests show it. Then the farm rests until something is due again."""
    done = _safely(farm_id, "morning", lambda: _morning(books, farm_id, now))
    done += _safely(farm_id, "alarms", lambda: alarms.see_to(books, farm_id, now, place))
    done += _safely(farm_id, "stand-ins", lambda: standins.see_to(books, farm_id, now, place))
    for due in _owed(books, farm_id, now):
        done += _safely(farm_id, due.job, partial(_write, books, farm_id, due, now, place))
    if not _safely(farm_id, "rest", partial(_rest, books, farm_id, now)):
        _pause(books, farm_id, now)
    return done


def _rest(books: Books, farm_id: int, now: datetime) -> bool:
    """Whether everything due is done, so that nobody need look before the next thing opens."""
    with books.write() as session:
        ledger, farm = Ledger(session, farm_id), session.get_one(Farm, farm_id)
        if not all(_is_done(session, farm_id, due) for due in due_now(ledger, farm, now)):
            return False
        opening = next_opening(ledger, farm, now)
        others = (alarms.next_moment(session, ledger, now), standins.next_moment(session, ledger, now))
        looks.rest_until(session, farm_id, now, min([opening, *(one for one in others if one is not None)]))
    return True


def _pause(books: Books, farm_id: int, now: datetime) -> None:
    """Something failed: the farm is looked at again at the next tick, not before."""
    with books.write() as session:
        looks.rest_until(session, farm_id, now, now + timedelta(seconds=1))


def _safely(farm_id: int, job: str, work: Callable[[], int]) -> int:
    """Work that fails leaves nothing behind, keeps no other work waiting, and is due again at the next tick."""
    try:
        return work()
    except Exception as error:  # noqa: BLE001  whatever it is, the other texts of the morning must not wait for it
        log.error("%s of farm %s failed: %s", job, farm_id, type(error).__name__)
        return 0


def _morning(books: Books, farm_id: int, now: datetime) -> bool:
    """Once a farm-local day, at its first tick: the day's tasks, and the shifts two weeks ahead."""
    with books.read() as session:
        day = local_day(now, _zone(session, farm_id))
        if session.get(DueWork, (farm_id, "morning", NOBODY, day, "")):
            return False
    with books.write() as session:
        if not insert_once(session, DueWork(farm_id=farm_id, job="morning", person_id=NOBODY, day=day, done_at=now)):
            return False
        ledger, told = Ledger(session, farm_id), Told(None, now, now)
        roll_shifts(ledger, day, told)
        make_tasks(ledger, day, told)
    return True


def _zone(session: Session, farm_id: int) -> ZoneInfo:
    return ZoneInfo(session.get_one(Farm, farm_id).timezone)


def _owed(books: Books, farm_id: int, now: datetime) -> list[Due]:
    """What is due and not in the ledger of due work."""
    with books.read() as session:
        due = due_now(Ledger(session, farm_id), session.get_one(Farm, farm_id), now)
        return [one for one in due if not _is_done(session, farm_id, one)]


def _is_done(session: Session, farm_id: int, due: Due) -> bool:
    return session.get(DueWork, (farm_id, due.job, due.person_id, due.day, due.about)) is not None


def _write(books: Books, farm_id: int, due: Due, now: datetime, place: Place) -> bool:
    """One text into the outbox, with its row in the ledger of due work: both or neither."""
    with books.write() as session:
        row = DueWork(farm_id=farm_id, job=due.job, person_id=due.person_id, day=due.day, about=due.about, done_at=now)
        farm = session.get_one(Farm, farm_id)
        if due not in due_now(Ledger(session, farm_id), farm, now) or not insert_once(session, row):
            return False
        to = person(Ledger(session, farm_id), due.person_id)
        body = _text(session, farm_id, to, due, now)
        if body:
            place(
                session,
                farm_id=farm_id,
                key=due.key,
                phone=to.phone,
                person_id=to.id,
                kind=due.job.partition("-")[0],
                body=body,
                now=now,
                expires_at=send_by(due, now, ZoneInfo(farm.timezone)),
            )
    return True


def _text(session: Session, farm_id: int, to: Person, due: Due, now: datetime) -> str | None:
    if due.job == "digest":
        return rounds.digest(session, farm_id, due.day, now, to.language)
    if due.job == "leaving":
        return rounds.leaving(session, farm_id, to, now)
    if due.job == "when":
        return rounds.ask_week(session, farm_id, to, now)
    if due.job == "trouble":
        return rounds.trouble_again(session, farm_id, to, int(due.about), now)
    shift = session.get_one(Shift, (farm_id, due.about))
    if due.job == "tasks":
        return rounds.task_list(session, farm_id, to, shift, now)
    answer = session.get_one(ShiftPlace, (farm_id, shift.id, to.id)).answer
    asks = not answer and ask_attendance(session, farm_id, to.id, shift.id, now)
    return rounds.reminder(session, farm_id, to, shift, now, asks=asks)
