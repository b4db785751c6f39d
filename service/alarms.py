"""Alarms in texts: who is told next and when, and who hears that it is over. The clockwork's part.

Each text is a row in the ledger of due work, by alarm and person, written with the text: once, however many processes
tick. People are told one after another, in the order of `core.alarms.chain`, each with time to answer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from sqlmodel import Session, col, select

from core.acts.alarms import SIDES, alarm_values, settle, watch
from core.alarms import InCharge, chain, pace
from core.books import alarms as books_of
from core.books import crew, people, water
from core.books.ledger import Ledger
from core.books.store import Books
from core.books.tables import Alarm, Entry, Farm, Person
from core.books.vocabulary import vocabulary
from core.calendar import local_day
from core.outcome import Fact, fact
from service.once import insert_once
from service.quiet import next_allowed
from service.tables import DueWork, Outbound
from service.words import Speaker

TOLD, OVER = "alarm", "alarm-over"

OVER_WITHIN = timedelta(hours=24)
"""An all-clear that could not be sent for so long is not sent. Common practice, no source."""

WORTHLESS_AFTER = timedelta(hours=12)
"""An alarm that was not sent by then is not sent as if it were new. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Owed:
    """One text about an alarm, and from when it may go to its person."""

    job: str
    alarm: Alarm
    person: Person
    at: datetime


def see_to(books: Books, farm_id: int, now: datetime, place: Callable[..., object]) -> int:
    """Open and end alarms, and text whoever is to know now; how many texts."""
    with books.read() as session:
        ledger = Ledger(session, farm_id)
        if not watch(ledger, now).changes and not any(one.at <= now for one in _owed(session, ledger, now)):
            return 0
    with books.write() as session:
        ledger = Ledger(session, farm_id)
        for change in watch(ledger, now).changes:
            settle(ledger, change, now)
        session.flush()
        due = [one for one in _owed(session, ledger, now) if one.at <= now]
        return sum(_text(session, ledger, one, now, place) for one in due)


def next_moment(session: Session, ledger: Ledger, now: datetime) -> datetime | None:
    """When an alarm may open or a text about one is owed next, if nothing is read or said meanwhile."""
    moments = [one.at for one in _owed(session, ledger, now)]
    opening = watch(ledger, now).next_at
    return min([*moments, *([opening] if opening else [])], default=None)


def told(session: Session, ledger: Ledger, alarm: Alarm) -> dict[int, datetime]:
    """Who was told of an alarm, and when: by the clockwork, or at once as news of the text that raised it."""
    rows = select(DueWork).where(
        DueWork.farm_id == ledger.farm_id, DueWork.job == TOLD, DueWork.about == str(alarm.entry)
    )
    found = {one.person_id: one.done_at for one in session.exec(rows)}
    entry = session.get_one(Entry, (ledger.farm_id, alarm.entry))
    if entry.source is not None:
        prefix = f"news:{entry.source}:news_reading:"
        news = select(Outbound).where(
            Outbound.farm_id == ledger.farm_id, col(Outbound.key).startswith(prefix, autoescape=True)
        )
        found |= {one.person_id: one.created_at for one in session.exec(news) if one.person_id is not None}
    return found


def told_to(session: Session, ledger: Ledger, person_id: int) -> Alarm | None:
    """The newest open alarm that a person was told of."""
    open_now = books_of.open_alarms(ledger)
    return next((one for one in open_now if person_id in told(session, ledger, one)), None)


def _owed(session: Session, ledger: Ledger, now: datetime) -> Iterator[Owed]:
    """The next text about each open alarm, and the all-clears of those that are over, with their moments."""
    open_now = books_of.open_alarms(ledger)
    over = _over(ledger, now)
    if not open_now and not over:
        return
    zone = ZoneInfo(session.get_one(Farm, ledger.farm_id).timezone)
    order = _order(ledger, now) if open_now else []
    for alarm in open_now:
        yield from _next(session, ledger, alarm, order, now, zone)
    for line in over:
        yield from _clears(session, ledger, line, now, zone)


def _order(ledger: Ledger, now: datetime) -> list[Person]:
    there = crew.on_shift_now(ledger, now)
    everyone = {one.id: one for one in people.crew(ledger)}
    able = [InCharge(one.id, one.role, one.grown_up, one.id in there) for one in everyone.values()]
    return [everyone[one] for one in chain(able)]


def _next(
    session: Session, ledger: Ledger, alarm: Alarm, order: list[Person], now: datetime, zone: ZoneInfo
) -> Iterator[Owed]:
    """Who is told next of an open alarm: of those not told yet the first in the order who can be reached first."""
    known = told(session, ledger, alarm)
    ready = max([now, _ready(alarm, known)])
    waiting = [
        Owed(TOLD, alarm, one, _reached(one, ready, zone, at_once=alarm.urgent))
        for one in order
        if one.id not in known and _may_be_texted(one)
    ]
    if waiting:
        yield min(waiting, key=lambda one: one.at)


def _ready(alarm: Alarm, known: dict[int, datetime]) -> datetime:
    """From when the next in charge may be told."""
    rule = pace(alarm.urgent)
    moments = [alarm.opened_at, *([max(known.values()) + rule.next_after] if known else [])]
    moments += [alarm.taken_at + rule.taken_for] if alarm.taken_at else []
    moments += [alarm.quiet_until] if alarm.quiet_until else []
    return max(moments)


def _over(ledger: Ledger, now: datetime) -> list[list[Alarm]]:
    """What ended of late, each with the alarms that it took the place of, the newest first; not where one is open."""
    query = select(Alarm).where(Alarm.farm_id == ledger.farm_id, col(Alarm.opened_at) > now - 30 * OVER_WITHIN)
    lines: dict[tuple[str, str, str], list[Alarm]] = {}
    for one in ledger.session.exec(query.order_by(col(Alarm.entry).desc())):
        lines.setdefault((one.measure, one.place, "off" if one.kind in SIDES else one.kind), []).append(one)
    ended = [_one_trouble(line) for line in lines.values()]
    return [line for line in ended if line[0].over_at is not None and line[0].over_at > now - OVER_WITHIN]


def _one_trouble(line: list[Alarm]) -> list[Alarm]:
    """The newest alarm of a line and those before it that gave way to the next."""
    kept = line[:1]
    for one in line[1:]:
        if one.over_at != kept[-1].opened_at:
            break
        kept.append(one)
    return kept


def _clears(session: Session, ledger: Ledger, line: list[Alarm], now: datetime, zone: ZoneInfo) -> Iterator[Owed]:
    known = {person: line[0].urgent for alarm in line for person in told(session, ledger, alarm)}
    for person_id in known:
        one, done = people.person(ledger, person_id), DueWork.farm_id == ledger.farm_id
        row = select(DueWork).where(done, DueWork.job == OVER, DueWork.person_id == person_id)
        if _may_be_texted(one) and not session.exec(row.where(DueWork.about == str(line[0].entry))).first():
            yield Owed(OVER, line[0], one, _reached(one, now, zone, at_once=line[0].urgent))


def _reached(person: Person, at: datetime, zone: ZoneInfo, *, at_once: bool) -> datetime:
    """When a person may be texted from a moment on: at any hour who chose that, where it cannot wait."""
    return at if at_once and person.wakeful else next_allowed(at, zone, person.early_at)


def _may_be_texted(person: Person) -> bool:
    return person.agreed and not person.muted and person.state == "here" and person.phone is not None


def _text(session: Session, ledger: Ledger, owed: Owed, now: datetime, place: Callable[..., object]) -> bool:
    """One text into the outbox with its row in the ledger of due work; False where it was written before."""
    words = vocabulary(session, ledger.farm_id)
    day, about = local_day(now, words.zone), str(owed.alarm.entry)
    row = DueWork(
        farm_id=ledger.farm_id, job=owed.job, person_id=owed.person.id, day=day, about=about, done_at=now
    )  # fmt: skip
    if not insert_once(session, row):
        return False
    place(
        session, farm_id=ledger.farm_id, key=f"{owed.job}:{about}:{owed.person.id}", phone=owed.person.phone,
        person_id=owed.person.id, kind="trouble" if owed.alarm.urgent else TOLD,
        body=Speaker(owed.person.language, words, day).text([_said(ledger, owed)]), now=now,
        expires_at=now + WORTHLESS_AFTER,
    )  # fmt: skip
    return True


def _said(ledger: Ledger, owed: Owed) -> Fact:
    alarm = owed.alarm
    if owed.job == TOLD:
        return fact(f"alarm_{alarm.kind}", **alarm_values(alarm))
    last = water.latest(ledger, alarm.measure, alarm.place)
    reading = {"measure": alarm.measure, "value": last.value} if last else None
    return fact(f"alarm_over_{alarm.kind}", **(alarm_values(alarm) | {"reading": reading}))
