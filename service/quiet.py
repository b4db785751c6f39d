"""The hours in which nobody is texted unasked."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from core.calendar import instant, local_day

FIRST = time(8)
LAST = time(20)
"""Unasked texts only from 08:00 to 20:00 of the farm's day, earlier only for who asked for it.

Stricter than the federal bar on solicitations before 08:00 and after 21:00 at the recipient's place, 47 CFR
64.1200(c)(1); some states end at 20:00 (from memory).
"""

AT_ANY_HOUR = frozenset({"trouble", "welcome", "code"})
"""Kinds of text that wait for no hour: urgent, or asked for at that moment."""

ANSWERED_WITHIN = timedelta(hours=1)
"""Who texts us waits for the reply this long; one that was held up longer comes unasked. Common practice, no source."""


def next_allowed(now: datetime, zone: ZoneInfo, early_at: time | None = None) -> datetime:
    """The first moment from `now` on (an aware instant) at which an unasked text may go out."""
    local = now.astimezone(zone)
    first = min(early_at, FIRST) if early_at else FIRST
    if first <= local.time().replace(tzinfo=None) < LAST:
        return now
    day = local_day(now, zone) + timedelta(days=local.time() >= LAST)
    return instant(day, first, zone)


def may_go_at(kind: str, said_at: datetime, now: datetime, zone: ZoneInfo, early_at: time | None = None) -> datetime:
    """The first moment from `now` on at which a text of a kind may go out.

    `said_at`: when the text that it answers was sent; for one that answers none, when it was placed.
    """
    at_once = kind in AT_ANY_HOUR or (kind == "reply" and now - said_at < ANSWERED_WITHIN)
    return now if at_once else next_allowed(now, zone, early_at)
