"""What somebody has said of when they can come, laid beside a shift. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from core.calendar import instant, local_day, weekday


@dataclass(frozen=True, slots=True)
class Said:
    """Can (`free`) or cannot come: one window of instants, or farm-local hours of a weekday until a day.

    `told_at` is when it was said.
    """

    person_id: int
    free: bool
    told_at: datetime
    starts_at: datetime | None = None
    ends_at: datetime | None = None
    day: str | None = None
    start: time | None = None
    end: time | None = None
    until: date | None = None

    @property
    def once(self) -> bool:
        """Whether it is about one time only."""
        return self.starts_at is not None

    def hours(self, on: date, zone: ZoneInfo) -> tuple[datetime, datetime] | None:
        """From when to when it holds on a farm-local day; None where it says nothing of that day."""
        if self.until is not None and on > self.until:
            return None
        if self.starts_at and self.ends_at:
            return self.starts_at, self.ends_at
        if self.day != weekday(on) or self.start is None or self.end is None:
            return None
        return instant(on, self.start, zone), instant(on, self.end, zone)


def bears_on(one: Said, on: date, zone: ZoneInfo) -> bool:
    """Whether something said is about any hour of a farm-local day."""
    hours = one.hours(on, zone)
    return hours is not None and local_day(hours[0], zone) <= on <= local_day(hours[1], zone)


def can_come(said: Iterable[Said], starts_at: datetime, ends_at: datetime, zone: ZoneInfo) -> bool | None:
    """Whether somebody can come from one instant to another, by all they have said; None where they have not.

    They can where they are free all of the time, and cannot where they are busy for any of it. A word about one time
    goes before one about every week, a later word before an earlier one, and of what was said at once "cannot" counts.
    """
    on = local_day(starts_at, zone)
    bearing = [one for one in said if (hours := one.hours(on, zone)) and _bears(one, hours, starts_at, ends_at)]
    if not bearing:
        return None
    return max(bearing, key=lambda one: (one.once, one.told_at, not one.free)).free


def _bears(one: Said, hours: tuple[datetime, datetime], starts_at: datetime, ends_at: datetime) -> bool:
    if one.free:
        return hours[0] <= starts_at and ends_at <= hours[1]
    return hours[0] < ends_at and starts_at < hours[1]
