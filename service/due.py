"""What the farm owes whom at a moment: digests, lists, reminders, and questions about stays, each with its end.

Pure of the clock: `now` is passed in. Hours are the farm's own; everything is compared as instants, so that a day of
23 or 25 hours changes nothing. After a service or a carrier was down, this alone decides what is still sent:

    digest              from the farm's hour for it        until noon, or an hour after that hour where it is later
    reminder, the eve   from 18:00 of the day before       until the other takes over; not for who declined it
    reminder, the hour  from an hour before the shift, or  until the shift begins
                        as long as its person has chosen
    when can you come   on the weekday of core/people.toml that evening; for who has said nothing of the coming week,
                                                           does not pause, and was not asked too often
    task list           from half an hour before it        until the shift ends
    trouble, once more  minutes after the one before       until a day after it was reported, or somebody has it
    news, announcement  from when it was placed            always, but between 08:00 and 20:00 (`quiet`)
    reply               from when the text was finished    always; after an hour between 08:00 and 20:00
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from core.books import crew, hours, people, troubles
from core.books.ledger import Ledger
from core.books.roster import said_of_coming
from core.books.tables import Farm, Person, Shift
from core.calendar import bounds, instant, local_day
from core.hours import ask_about_leaving, leaving
from core.people import asked_about, usual_reminder_min, weekly
from core.shifts.availability import bears_on
from core.trouble import kinds, turns, within
from service.asking import may_be_asked
from service.quiet import LAST, next_allowed

EVE_AT = time(18)
"""When people are reminded of tomorrow's shift."""

HOUR_BEFORE = timedelta(hours=1)
LIST_BEFORE = timedelta(minutes=30)
"""How long before a shift its task list goes out: after the reminder, so that the two do not come together."""

COMES_EARLY = timedelta(hours=1)
"""Who comes so long before a shift of theirs came for it. Common practice, no source."""

STAY_ASKED_WITHIN = timedelta(hours=36)
"""A stay older than this is let be."""

DIGEST_UNTIL = time(12)
"""A digest that is later than this says what the day has shown already."""


@dataclass(frozen=True, slots=True)
class Due:
    """One text owed: the job, to whom, of which farm-local day and shift; due from `opens` to before `ends`.

    An `urgent` one goes at any hour to who chose that.
    """

    job: str
    person_id: int
    day: date
    opens: datetime
    ends: datetime
    about: str = ""
    urgent: bool = False

    @property
    def key(self) -> str:
        """What makes it the only one of its kind on its farm."""
        return f"{self.job}:{self.person_id}:{self.day.isoformat()}:{self.about}"


def due_now(ledger: Ledger, farm: Farm, now: datetime) -> list[Due]:
    """Every text owed at this moment to those who may be texted now, whether or not it has gone out already."""
    zone = ZoneInfo(farm.timezone)
    owed = _owed(ledger, farm, now, zone)
    return [due for due, person in owed if due.opens <= now < due.ends and _may_be_texted(due, person, now, zone)]


def next_opening(ledger: Ledger, farm: Farm, now: datetime) -> datetime:
    """The next moment at which something that is not owed now may come to be, as the books stand."""
    zone = ZoneInfo(farm.timezone)
    _, midnight = bounds(local_day(now, zone), local_day(now, zone), zone)
    owed = [(due, person) for due, person in _owed(ledger, farm, now, zone) if due.ends > now]
    opening = (_allowed(due, person, max(due.opens, now), zone) for due, person in owed)
    return min([midnight, *(moment for moment in opening if moment > now)])


def _owed(ledger: Ledger, farm: Farm, now: datetime, zone: ZoneInfo) -> Iterator[tuple[Due, Person]]:
    """Everything of these days, whenever it opens."""
    yield from _digests(ledger, farm, now, zone)
    yield from _for_shifts(ledger, now, zone)
    yield from _leavings(ledger, farm, now, zone)
    yield from _weekly(ledger, farm, now, zone)
    yield from _troubles(ledger, zone)


def _weekly(ledger: Ledger, farm: Farm, now: datetime, zone: ZoneInfo) -> Iterator[tuple[Due, Person]]:
    """Once a week: when can you come next week? Nobody is asked who has told already."""
    today = local_day(now, zone)
    asked = asked_about(today)
    if asked is None:
        return
    opens, ends = instant(today, weekly().start, zone), instant(today, weekly().end, zone)
    said, away = said_of_coming(ledger), people.paused(ledger, asked[1])
    days = [asked[0] + timedelta(days=n) for n in range(7)]
    for person in people.crew(ledger):
        told = any(bears_on(one, day, zone) for one in said.get(person.id, ()) for day in days)
        if person.asked_weekly and not told and person.id not in away and may_be_asked(ledger, farm, person, now):
            yield Due("when", person.id, today, opens, ends, asked[0].isoformat()), person


def send_by(due: Due, now: datetime, zone: ZoneInfo) -> datetime:
    """When a text placed now is to be given up: when it is worthless, or the hours in which it may go out are over."""
    return due.ends if due.urgent else min(due.ends, instant(local_day(now, zone), LAST, zone))


def _allowed(due: Due, person: Person, moment: datetime, zone: ZoneInfo) -> datetime:
    """The first moment from then on at which a text may go to a person."""
    return moment if due.urgent and person.wakeful else next_allowed(moment, zone, person.early_at)


def _may_be_texted(due: Due, person: Person, now: datetime, zone: ZoneInfo) -> bool:
    """Whether an unasked text may go to a person now. For a minor, `agreed` is what their guardian agreed to."""
    agreed = person.agreed and not person.muted and person.state == "here" and person.phone is not None
    return agreed and _allowed(due, person, now, zone) == now


def _digests(ledger: Ledger, farm: Farm, now: datetime, zone: ZoneInfo) -> Iterator[tuple[Due, Person]]:
    today = local_day(now, zone)
    opens = instant(today, farm.digest_at, zone)
    ends = max(instant(today, DIGEST_UNTIL, zone), opens + HOUR_BEFORE)
    for person in people.crew(ledger, "coordinator"):
        yield Due("digest", person.id, today, opens, ends), person


def _for_shifts(ledger: Ledger, now: datetime, zone: ZoneInfo) -> Iterator[tuple[Due, Person]]:
    """Reminders and lists of today's and tomorrow's shifts, for all who have not given them up."""
    today = local_day(now, zone)
    tomorrow = today + timedelta(days=1)
    closed = crew.closed_days(ledger, today, tomorrow)
    for shift in crew.shifts_between(ledger, *bounds(today, tomorrow, zone)):
        day = local_day(shift.starts_at, zone)
        if day not in closed:
            for place, person in crew.on_shift(ledger, shift.id):
                if place.answer != "no":
                    yield from ((due, person) for due in _of_shift(shift, person, day, zone))


def _of_shift(shift: Shift, person: Person, day: date, zone: ZoneInfo) -> Iterator[Due]:
    """The reminder of the evening before gives way to the one shortly before, and that one to the shift."""
    eve = instant(day - timedelta(days=1), EVE_AT, zone)
    minutes = usual_reminder_min() if person.remind_before is None else person.remind_before
    shortly = shift.starts_at - timedelta(minutes=minutes)
    if person.eve_reminder:
        yield Due("reminder-eve", person.id, day, eve, shortly, shift.id)
    yield Due("reminder-hour", person.id, day, shortly, shift.starts_at, shift.id)
    yield Due("tasks", person.id, day, shift.starts_at - LIST_BEFORE, shift.ends_at, shift.id)


def _leavings(ledger: Ledger, farm: Farm, now: datetime, zone: ZoneInfo) -> Iterator[tuple[Due, Person]]:
    """Who came and has told neither that they left nor how long they worked is asked once, that day or the next."""
    for visit in hours.stayed(ledger, now - STAY_ASKED_WITHIN, now):
        day = local_day(visit.at, zone)
        shift = hours.shift_around(ledger, visit.person_id, visit.at, visit.at + COMES_EARLY)
        opens = ask_about_leaving(visit.at, shift.ends_at if shift else None, instant(day, farm.closes, zone))
        ends = instant(day + timedelta(days=1), leaving().asked_until, zone)
        if not hours.worked_rows(ledger, day, day, visit.person_id):
            due = Due("leaving", visit.person_id, day, opens, ends, str(visit.entry))
            yield due, people.person(ledger, visit.person_id)


def _troubles(ledger: Ledger, zone: ZoneInfo) -> Iterator[tuple[Due, Person]]:
    """Trouble that nobody sees to goes to the next in charge; what can wait for the day is counted from its hours."""
    for one in troubles.open_trouble(ledger):
        urgent = kinds()[one.kind].urgent
        began = one.at if urgent else next_allowed(one.at, zone)
        order = troubles.in_charge(ledger, one.kind, one.at, one.person_id) if one.taken_by is None else ()
        for opens, person_id in turns(one.kind, order, began):
            day, ends = local_day(one.at, zone), began + within().waits
            yield Due("trouble", person_id, day, opens, ends, str(one.n), urgent), people.person(ledger, person_id)
