"""The limits of each measure: the range it should be in, and whether a figure can be right at all.

The limits are in limits.toml, a source beside each. A crop's own ranges are the farm's (in its books) and come first.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Literal

Judgement = Literal["fine", "low", "high"]


@dataclass(frozen=True, slots=True)
class Range:
    """From `low` to `high`, both included, in the measure's unit; infinite on a side that is open."""

    low: float
    high: float

    def __contains__(self, value: float) -> bool:
        return self.low <= value <= self.high


@dataclass(frozen=True, slots=True)
class Limit:
    """One row of limits.toml."""

    measure: str
    kind: str
    range: Range
    unit: str
    source: str


@lru_cache
def limits() -> dict[tuple[str, str], Limit]:
    """Every limit by measure and kind."""
    text = resources.files(__package__).joinpath("limits.toml").read_text(encoding="utf-8")
    return {(row["measure"], row["kind"]): _limit(row) for row in tomllib.loads(text)["limit"]}


def _limit(row: dict[str, str]) -> Limit:
    within = Range(float(row.get("low", -math.inf)), float(row.get("high", math.inf)))
    return Limit(row["measure"], row["kind"], within, row["unit"], row["source"])


def usual(measure: str) -> Range:
    """The range a measure should be in where no crop says otherwise.

    Raises:
        KeyError: there is no such measure.
    """
    return limits()[measure, "fine"].range


def overlap(ranges: Iterable[Sequence[float]]) -> Range | None:
    """The strictest range that suits all crops: [least, most] of each; None where no value suits them all."""
    pairs = list(ranges)
    if not pairs:
        return None
    common = Range(max(low for low, _ in pairs), min(high for _, high in pairs))
    return common if common.low <= common.high else None


def judge(measure: str, value: float, wanted: Range | None = None) -> Judgement:
    """Whether a value is in the wanted range, or in the usual one where none is given."""
    wanted = wanted or usual(measure)
    if value < wanted.low:
        return "low"
    return "high" if value > wanted.high else "fine"


def possible(measure: str, value: float) -> bool:
    """Whether the figure can be right at all (a pH of 20 cannot)."""
    return value in limits()[measure, "possible"].range


def likely(measure: str, value: float) -> bool:
    """Whether the figure may be written down without asking first (a pH of 12 may not)."""
    return value in limits()[measure, "likely"].range


def alarming(measure: str, value: float) -> bool:
    """Whether people or plants are in danger now: too much CO2 to stay in, too little oxygen for roots."""
    limit = limits().get((measure, "alarm"))
    return limit is not None and value not in limit.range
