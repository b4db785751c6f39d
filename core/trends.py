"""Where a measure is heading: a robust line through its daily values, how sure it is, and when it leaves its range.

One value a day, the middle one, so that neither the hour of the day nor how often somebody measures makes a trend.
Pure: readings and days in, a value out.

Source:
    Theil H., 1950, A rank-invariant method of linear and polynomial regression analysis (the slope is the median of
    those of all pairs). Sen P.K., 1968, Estimates of the regression coefficient based on Kendall's tau, Journal of the
    American Statistical Association 63:1379-1389 (its interval, with ties).
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import NormalDist, median
from typing import Literal

from core.readings.limits import Range

LEAST_DAYS = 6
"""Fewer days with a reading make no trend. Chosen by the rate of false ones that bench/trends measures."""

WINDOW = timedelta(days=14)
"""What is older says nothing about next week. Common practice, no source."""

AHEAD_DAYS = 7
"""So far ahead a measure is said to leave its range. Common practice, no source."""

SURE = 0.99
"""The share of intervals that hold the true slope, where the noise of one day knows nothing of the day before's.

Tanks carry noise over; with six tenths of it left from one day to the next a tenth of the intervals over two weeks miss
(bench/trends), hence no less.
"""


@dataclass(frozen=True, slots=True)
class Slope:
    """A robust line: `per_day` with its interval from `least` to `most`, and the value the line has on the last day."""

    per_day: float
    least: float
    most: float
    last: float

    @property
    def sure(self) -> bool:
        """Whether the interval excludes that nothing changes."""
        return self.least > 0 or self.most < 0


@dataclass(frozen=True, slots=True)
class Leaving:
    """The day on which a measure leaves its range if it goes on so, and on which side.

    `soonest` and `latest` by the ends of the slope's interval; `latest` is None where that is beyond telling.
    """

    side: Literal["low", "high"]
    day: date
    soonest: date
    latest: date | None


def daily(readings: Iterable[tuple[date, float]]) -> list[tuple[date, float]]:
    """The middle value of each day, the first day first."""
    days: dict[date, list[float]] = defaultdict(list)
    for day, value in readings:
        days[day].append(value)
    return [(day, median(values)) for day, values in sorted(days.items())]


def slope(points: Sequence[tuple[date, float]], sure: float = SURE) -> Slope | None:
    """The robust line through daily values, the first day first; None where there are too few days.

    Args:
        points: a value a day, in any unit.
        sure: the share of intervals that are to hold the true slope, above 0 and below 1.
    """
    if len(points) < LEAST_DAYS:
        return None
    last = points[-1][0]
    days = [(day - last).days for day, _ in points]
    values = [value for _, value in points]
    pairs = sorted(
        (values[b] - values[a]) / (days[b] - days[a]) for a in range(len(days)) for b in range(a + 1, len(days))
    )
    middle = median(pairs)
    least, most = _interval(pairs, values, sure)
    return Slope(middle, least, most, median(value - middle * day for day, value in zip(days, values, strict=True)))


def _interval(pairs: Sequence[float], values: Sequence[float], sure: float) -> tuple[float, float]:
    """The ranks of Sen's interval among the sorted slopes; with few points it reaches from the least to the most."""
    n = len(values)
    ties = sum(count * (count - 1) * (2 * count + 5) for count in Counter(values).values())
    spread = math.sqrt((n * (n - 1) * (2 * n + 5) - ties) / 18)
    half = NormalDist().inv_cdf(0.5 + sure / 2) * spread
    low = max(round((len(pairs) - half) / 2) - 1, 0)
    high = min(round((len(pairs) + half) / 2), len(pairs) - 1)
    return pairs[low], pairs[high]


def leaving(line: Slope, wanted: Range, today: date) -> Leaving | None:
    """When a measure leaves its range within AHEAD_DAYS; None where the line is not sure, or it stays inside.

    Args:
        line: the line, its last day today or yesterday.
        wanted: the range, its ends included.
        today: the farm-local day from which days are counted.
    """
    if not line.sure or line.last not in wanted:
        return None
    side: Literal["low", "high"] = "high" if line.per_day > 0 else "low"
    room = abs((wanted.high if side == "high" else wanted.low) - line.last)
    fast, slow = sorted((abs(line.least), abs(line.most)), reverse=True)
    if room > AHEAD_DAYS * abs(line.per_day):
        return None
    return Leaving(
        side,
        _in(today, room, abs(line.per_day)),
        _in(today, room, fast),
        _in(today, room, slow) if room <= 4 * AHEAD_DAYS * slow else None,
    )


def _in(today: date, room: float, per_day: float) -> date:
    return today + timedelta(days=math.ceil(room / per_day))
