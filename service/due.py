"""What the farm owes whom at a moment: digests, task lists and reminders, each with the time it becomes worthless.

Pure of the clock: `now` is passed in. Hours are the farm's own; everything is compared as instants, so that a day of
23 or 25 hours changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from core.books import crew, people
from core.books.ledger import Ledger
from core.books.tables import Farm, Person, Shift
from core.calendar import bounds, instant, local_day
from service.quiet import LAST, next_allowed

EVE_AT = time(18)
"""When people are reminded of tomorrow's shift."""

HOUR_BEFORE = timedelta(hours=1)
LIST_BEFORE = timedelta(minutes=30)
"""How long before a shift its task list goes out: after the reminder, so that the two do not come together."""

DIGEST_UNTIL = time(12)
"""A digest that is later than this says what the day has shown already."""


@dataclass(frozen=True, slots=True)
class Due:
    """One text owed: the job, to whom, of which farm-local day and shift; due from `opens` to before `ends`."""

    job: str
    person_id: int
    day: date
    opens: datetime
    ends: datetime
    about: str = ""

    @property
    def key(self) -> str:
        """What makes it the only one of its kind on its farm."""
        return f"{self.job}:{self.person_id}:{self.day.isoformat()}:{self.about}"


def due_now(ledger: Ledger, farm: Farm, now: datetime) -> list[Due]:
    """Every text owed at this moment to those who may be texted now, whether or not it has gone out already."""
    zone = ZoneInfo(farm.timezone)
    owed = [*_digests(ledger, farm, now, zone), *_for_shifts(ledger, now, zone)]
    return [due for due, person in owed if due.opens <= now < due.ends and _may_be_texted(person, now, zone)]


def send_by(due: Due, now: datetime, zone: ZoneInfo) -> datetime:
    """When a text placed now is to be given up: when it is worthless, or the hours in which it may go out are over."""
    return min(due.ends, instant(local_day(now, zone), LAST, zone))


def _may_be_texted(person: Person, now: datetime, zone: ZoneInfo) -> bool:
    """Whether an unasked text may go to a person now. For a minor, `agreed` is what their guardian agreed to."""
    agreed = person.agreed and not person.muted and person.state == "here" and person.phone is not None
    return agreed and next_allowed(now, zone, person.early_at) == now


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
                    yield from ((due, person) for due in _of_shift(shift, person.id, day, zone))


def _of_shift(shift: Shift, person_id: int, day: date, zone: ZoneInfo) -> Iterator[Due]:
    """The reminder of the evening before gives way to the one an hour before, and that one to the shift."""
    eve = instant(day - timedelta(days=1), EVE_AT, zone)
    hour_before = shift.starts_at - HOUR_BEFORE
    yield Due("reminder-eve", person_id, day, eve, hour_before, shift.id)
    yield Due("reminder-hour", person_id, day, hour_before, shift.starts_at, shift.id)
    yield Due("tasks", person_id, day, shift.starts_at - LIST_BEFORE, shift.ends_at, shift.id)
