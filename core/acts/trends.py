"""Where the measures of a farm are heading, from its readings.

For a tank only what was read since something was last put into it counts: a dose is no trend.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from operator import itemgetter
from zoneinfo import ZoneInfo

from sqlmodel import col, select

from core.books import water
from core.books.ledger import Ledger
from core.books.tables import Addition
from core.calendar import local_day
from core.readings.ranges import Wanted
from core.trends import WINDOW, Leaving, Slope, daily, leaving, slope

FRESH = timedelta(days=2)
"""What was read last longer ago says nothing about next week. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Heading:
    """One measure in one place: on how many days it was read, its line where those are enough, and when it leaves."""

    measure: str
    place: str
    days: int
    line: Slope | None
    leaving: Leaving | None


def heading(ledger: Ledger, measure: str, place: str, wanted: Wanted, now: datetime, zone: ZoneInfo) -> Heading:
    """Where a measure is heading at a moment, by its readings of late."""
    start = max(now - WINDOW, _put_in(ledger, place) or now - WINDOW)
    points = daily((local_day(at, zone), value) for at, value in water.series(ledger, measure, place, start, now))
    line = slope(points)
    out = leaving(line, wanted.range, points[-1][0]) if line is not None else None
    return Heading(measure, place, len(points), line, out)


def outlooks(ledger: Ledger, now: datetime, zone: ZoneInfo) -> list[Heading]:
    """Every measure that surely leaves its range soon, the first to leave first."""
    wanted = water.wanted(ledger)
    found = [
        heading(ledger, measure, place, wanted(measure, place), now, zone)
        for (measure, place), last in water.newest(ledger).items()
        if now - last.at < FRESH and last.value in wanted(measure, place).range
    ]
    return [one for _, one in sorted(((one.leaving.day, one) for one in found if one.leaving), key=itemgetter(0))]


def _put_in(ledger: Ledger, place: str) -> datetime | None:
    """When something was last put into a tank."""
    query = select(Addition.at).where(Addition.farm_id == ledger.farm_id, Addition.tank == place)
    return ledger.session.exec(query.order_by(col(Addition.at).desc()).limit(1)).first()
