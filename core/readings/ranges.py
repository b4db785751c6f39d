"""The range that is wanted in a tank or the room: what the farm set itself, else what suits the crops that grow there.

Pure: which crops stand where, and what the farm set, is passed in.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from core.readings.limits import Range, usual

Origin = Literal["own", "crops", "usual"]


@dataclass(frozen=True, slots=True)
class Suits:
    """What one crop wants of a measure, and how many of its plants stand there."""

    crop: str
    range: Range
    plants: float


@dataclass(frozen=True, slots=True)
class Wanted:
    """The range wanted somewhere, and why.

    origin: "own" set by the farm, "crops" from what grows there, "usual" where neither says anything.
    low_by, high_by: the crop that sets each end; None where no crop does.
    without: crops for which this range is wrong, because no value suits them all.
    """

    range: Range
    origin: Origin
    low_by: str | None = None
    high_by: str | None = None
    without: tuple[str, ...] = ()


def wanted_range(measure: str, suits: Sequence[Suits], own: tuple[float | None, float | None] | None = None) -> Wanted:
    """The range wanted of a measure.

    Args:
        measure: one of the measures of limits.toml.
        suits: the crops that stand there and have a range for the measure.
        own: what the farm set, an open side as None; None where it set nothing.
    """
    if own is not None:
        return Wanted(Range(*_closed(own)), "own")
    return _of_crops(suits) if suits else Wanted(usual(measure), "usual")


def _closed(own: tuple[float | None, float | None]) -> tuple[float, float]:
    low, high = own
    return -math.inf if low is None else low, math.inf if high is None else high


def _of_crops(suits: Sequence[Suits]) -> Wanted:
    """The strictest range of the crops that can be suited together; where not all can, of those with most plants."""
    kept = _most_plants(suits)
    low = max(kept, key=lambda one: one.range.low)
    high = min(kept, key=lambda one: one.range.high)
    left = tuple(sorted({one.crop for one in suits} - {one.crop for one in kept}))
    return Wanted(Range(low.range.low, high.range.high), "crops", low.crop, high.crop, left)


def _most_plants(suits: Sequence[Suits]) -> list[Suits]:
    """The crops that some one value suits, such that most plants are suited; of equals the more crops, then by name.

    A value that suits most lies at the lower end of some crop's range, so that only those need be tried.
    """
    sets = [[one for one in suits if start.range.low in one.range] for start in suits]
    return max(sets, key=lambda kept: (sum(one.plants for one in kept), len(kept), sorted(one.crop for one in kept)))


def by_crop(
    measure: str, plants: Mapping[str, float], ranges: Mapping[str, Mapping[str, Sequence[float]]]
) -> list[Suits]:
    """What the crops standing somewhere want of a measure.

    Args:
        measure: one of the measures.
        plants: crop -> plants of it that stand there.
        ranges: crop -> measure -> [least, most].
    """
    return [
        Suits(crop, Range(*ranges[crop][measure]), count)
        for crop, count in sorted(plants.items())
        if measure in ranges.get(crop, {})
    ]
