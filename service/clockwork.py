"""The farm's own initiative: each tick asks what is due now, and does it once, however many processes tick.

A piece of work is a row in the ledger of due work, written in the transaction of its effect. The scheduler is only
the tick; what is due follows from the books and the moment, so a tick that comes late, twice or never does no harm.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from functools import partial
from typing import Protocol
from zoneinfo import ZoneInfo

from apscheduler.schedulers.background import BackgroundScheduler
from sqlalchemy.exc import SQLAlchemyError
from sqlmodel import Session, select

from core.acts.daily import make_tasks, roll_shifts
from core.books.ledger import Ledger, Told
from core.books.people import person
from core.books.store import Books
from core.books.tables import Farm, Person, Shift, ShiftPlace
from core.calendar import local_day
from service import inbox, outbox, rounds
from service.due import Due, due_now, send_by
from service.once import insert_once
from service.questions import ask_attendance
from service.tables import DueWork

EVERY_S = 20
"""Seconds between two ticks."""

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

    def send(self) -> None:
        """Send what is due."""


class Clockwork:
    """The tick, in a thread of its own."""

    def __init__(self, line: Line, carrier: str) -> None:
        self._line = line
        self._place = partial(outbox.place, carrier=carrier)
        self._scheduler = BackgroundScheduler(timezone=UTC)
        self._last: datetime | None = None

    def start(self) -> None:
        """Tick now, and then again and again."""
        logging.getLogger("apscheduler").setLevel(logging.WARNING)  # it would say twice a tick that it ticks
        self._scheduler.add_job(
            self.round,
            "interval",
            seconds=EVERY_S,
            next_run_time=datetime.now(UTC),
            coalesce=True,
            max_instances=1,
            misfire_grace_time=None,
        )
        self._scheduler.start()

    def stop(self) -> None:
        """Let the running tick end, and tick no more."""
        if self._scheduler.running:
            self._scheduler.shutdown(wait=True)

    def state(self) -> str:
        """ "off", "running", or "stalled" where the last tick is too long ago."""
        if not self._scheduler.running:
            return "off"
        late = self._last is not None and self._line.clock() - self._last > STALLED_AFTER
        return "stalled" if late else "running"

    def round(self) -> None:
        """One tick: what is due, texts a crash left unfinished, and sending."""
        now = self._line.clock()
        try:
            tick(self._line.books, now, self._place)
            inbox.finish_all(self._line.books, self._line.conversation, now)
            self._line.send()
            self._last = now
        except SQLAlchemyError as error:
            log.error("a tick failed and is tried again: %s", type(error).__name__)


def tick(books: Books, now: datetime, place: Place) -> int:
    """Do what is due on every farm at this moment and was not done before; how many pieces of work that was."""
    with books.read() as session:
        farms = [one.id for one in session.exec(select(Farm).order_by(Farm.id))]  # type: ignore[arg-type]
    return sum(_of_farm(books, farm_id, now, place) for farm_id in farms)


def _of_farm(books: Books, farm_id: int, now: datetime, place: Place) -> int:
    """The morning's work first: lists and digests show it."""
    done = _safely(farm_id, "morning", lambda: _morning(books, farm_id, now))
    for due in _owed(books, farm_id, now):
        done += _safely(farm_id, due.job, partial(_write, books, farm_id, due, now, place))
    return done


def _safely(farm_id: int, job: str, work: Callable[[], bool]) -> int:
    """Work that fails leaves nothing behind, keeps no other work waiting, and is due again at the next tick."""
    try:
        return int(work())
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
        return [one for one in due if not session.get(DueWork, (farm_id, one.job, one.person_id, one.day, one.about))]


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
    shift = session.get_one(Shift, (farm_id, due.about))
    if due.job == "tasks":
        return rounds.task_list(session, farm_id, to, shift, now)
    answer = session.get_one(ShiftPlace, (farm_id, shift.id, to.id)).answer
    asks = not answer and ask_attendance(session, farm_id, to.id, shift.id, now)
    return rounds.reminder(session, farm_id, to, shift, now, asks=asks)
