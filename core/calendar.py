"""Farm-local days, hours and periods as instants and dates. The zone and today are always passed in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from core.notes import DAYS, Ask, Day


@dataclass(frozen=True, slots=True)
class Days:
    """From the first to the last farm-local day, both included. `name` is the period asked about, None for one day."""

    first: date
    last: date
    name: str | None = None


WEEKS_ON = {"last_week": -1, "next_week": 1}
"""Periods that are a week, as weeks from this one."""


def instant(day: date, hour: time, zone: ZoneInfo) -> datetime:
    """A farm-local hour as an instant in UTC.

    An hour that comes twice is the first of the two; one that is skipped is read by the clock before the change.
    """
    return datetime.combine(day, hour, tzinfo=zone).astimezone(UTC)


def local_day(moment: datetime, zone: ZoneInfo) -> date:
    """The farm-local day of an instant."""
    return moment.astimezone(zone).date()


def bounds(first: date, last: date, zone: ZoneInfo) -> tuple[datetime, datetime]:
    """The instants at which a run of days starts and is over; a day may last 23 or 25 hours."""
    return instant(first, time(0), zone), instant(last + timedelta(days=1), time(0), zone)


def weekday(day: date) -> Day:
    """ "mon" to "sun"."""
    return DAYS[day.weekday()]


def week(day: date) -> tuple[date, date]:
    """Monday to Sunday around a day."""
    monday = day - timedelta(days=day.weekday())
    return monday, monday + timedelta(days=6)


def asked_days(note: Ask, today: date, default: str) -> Days:
    """The days a question is about: its date, its period, or the default period. A season is the year so far."""
    if note.date:
        return Days(note.date, note.date)
    return period_days(note.period or default, today)


def period_days(period: str, today: date) -> Days:
    """The days of one of PERIODS."""
    if period in ("today", "tomorrow"):
        day = today + timedelta(days=int(period == "tomorrow"))
        return Days(day, day)
    if period == "month":
        after = (today.replace(day=28) + timedelta(days=4)).replace(day=1)
        return Days(today.replace(day=1), after - timedelta(days=1), period)
    if period == "season":
        return Days(today.replace(month=1, day=1), today, period)
    first, last = week(today + timedelta(weeks=WEEKS_ON.get(period, 0)))
    return Days(first, last, period)
