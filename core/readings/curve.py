"""What was read of one measure over a stretch of time, as it is drawn: points, range, alarms, calibrations. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from core.readings.limits import Range

MOST_POINTS = 600
"""More are thinned out: a picture of 1,080 pixels shows no more. Common practice, no source."""

Point = tuple[datetime, float]


@dataclass(frozen=True, slots=True)
class Curve:
    """The readings of a measure in a tank or "room" from `since` to before `until`, the oldest first.

    `wanted` is the range now; `alarms` from when each was opened until it was over (or `until`), `calibrations` when
    the probe was calibrated.
    """

    measure: str
    where: str
    since: datetime
    until: datetime
    points: tuple[Point, ...]
    wanted: Range
    alarms: tuple[tuple[datetime, datetime], ...] = ()
    calibrations: tuple[datetime, ...] = ()


def thinned(points: Iterable[Point], since: datetime, until: datetime, most: int = MOST_POINTS) -> tuple[Point, ...]:
    """At most so many points, in order: of each of equal stretches of time the lowest and the highest are kept."""
    ordered = sorted(points)
    if len(ordered) <= most:
        return tuple(ordered)
    width = max((until - since) / (most // 2), timedelta(microseconds=1))
    stretches: dict[int, list[Point]] = {}
    for point in ordered:
        stretches.setdefault(int((point[0] - since) / width), []).append(point)
    kept = ({min(some, key=_value), max(some, key=_value)} for some in stretches.values())
    return tuple(sorted(point for few in kept for point in few))


def _value(point: Point) -> float:
    return point[1]
