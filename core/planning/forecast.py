"""What will be ready to cut, by week and crop, with a range that holds as often as it says."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from core.planning.ahead import Ahead, Sowing
from core.planning.draws import CropDraws, Draws
from core.planning.growth import Growth
from core.planning.model import Standing

DRAWS = 2000
"""The ends of a range of 80 % are then known to about a twenty-fifth of a standard deviation."""


@dataclass(frozen=True, slots=True)
class Range:
    """From low to high with the chance asked for, the middle (median) and the mean. [heads or bunches]"""

    low: float
    middle: float
    high: float
    mean: float


@dataclass(frozen=True)
class Forecast:
    """Heads or bunches ready to cut: crop -> one row a draw, one column a week."""

    start: date
    weeks: int
    draws: Mapping[str, Draws]

    def of(self, week: int, crop: str | None = None, share: float = 0.8, weeks: int = 1) -> Range:
        """The range of one week (or several from it on), of one crop or of all together."""
        wanted = [drawn for slug, drawn in self.draws.items() if crop in (None, slug)]
        if not wanted:
            return Range(0, 0, 0, 0)
        total = sum(wanted)[:, week : week + weeks].sum(axis=1)  # type: ignore[index]
        tail = (1 - share) / 2
        low, middle, high = np.quantile(total, [tail, 0.5, 1 - tail], method="nearest")
        return Range(float(low), float(middle), float(high), float(total.mean()))

    def chance(self, week: int, crop: str, heads: float) -> float:
        """How likely at least so many are ready in a week, 0 to 1."""
        return float((self.draws[crop][:, week] >= heads).mean())


def forecast(
    growths: Mapping[str, Growth],
    standing: Sequence[Standing],
    sowings: Sequence[Sowing],
    ahead: Ahead,
    *,
    seed: int = 0,
    draws: int = DRAWS,
) -> Forecast:
    """What will be ready to cut of what stands and of what is to be sown.

    Args:
        growths: what is believed of each crop; one that is missing is not forecast.
        standing: what stands, one row a place.
        sowings: what is to be sown, today or later.
        ahead: the weeks.
        seed: of the draws; the same seed gives a crop the same ranges, whatever other crops there are.
        draws: how many seasons are drawn.
    """
    found = {}
    for slug, growth in growths.items():
        crop = CropDraws(growth, ahead, np.random.default_rng([seed, *slug.encode()]), draws)
        for group in _together(one for one in standing if one.crop == slug):
            crop.stands(group)
        for sowing in (one for one in sowings if one.crop == slug):
            crop.sown(sowing.plugs, sowing.day)
        found[slug] = crop.ready
    return Forecast(ahead.start, ahead.weeks, found)


def _together(standing: Iterable[Standing]) -> list[list[Standing]]:
    """What came to its places on one day and was last cut on one day shares its luck."""
    groups = defaultdict(list)
    for one in standing:
        groups[one.where, one.since, one.cuts, one.last_cut].append(one)
    return list(groups.values())
