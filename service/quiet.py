"""The hours in which nobody is texted unasked."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

FIRST = time(8)
LAST = time(20)
"""Unasked texts only from 08:00 to 20:00 of the farm's day, earlier only for who asked for it.

Stricter than the federal bar on solicitations before 08:00 and after 21:00 at the recipient's place, 47 CFR
64.1200(c)(1); some states end at 20:00 (from memory).
"""


def next_allowed(now: datetime, zone: ZoneInfo, early_at: time | None = None) -> datetime:
    """The first moment from `now` on (an aware instant) at which an unasked text may go out."""
    local = now.astimezone(zone)
    first = min(early_at, FIRST) if early_at else FIRST
    if first <= local.time().replace(tzinfo=None) < LAST:
        return now
    day = local.date() + timedelta(days=local.time() >= LAST)
    return datetime.combine(day, first, zone).astimezone(UTC)
