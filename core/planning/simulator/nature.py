"""How crops truly do on a farm that is played, and the luck of each batch.

A batch's luck hangs on its crop and the week it is sown, never on how much is sown or what else was done: the first
ten plugs of a large sowing fare as the ten of a small one. So policies can be compared under the same luck.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import sqrt
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from core.planning.growth import Growth
from core.planning.rates import Level, Share, assumed
from core.planning.season import NONE, Season

Draws = NDArray[np.float64]

MOST_PLUGS = 600
"""More of one crop are not sown in one week."""

Spread = tuple[float, float]
"""Mean and standard deviation."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Nature:
    """The true rates of one crop; the fields are those of Growth, known for certain."""

    crop: str
    cover_days: int
    cuts: int
    germination: float
    shelves: float
    towers: float
    regrown: float
    nursery_days: Spread
    tower_days: Spread
    regrow_days: Spread | None = None
    picked: Spread | None = None
    season: Season = NONE


def as_believed(growth: Growth) -> Nature:
    """A crop that does just as is believed in the middle."""
    return _nature(growth, lambda share: share.mean, lambda level: (level.mean, level.spread))


def one_possible(growth: Growth, rng: np.random.Generator) -> Nature:
    """One of the natures that are thought possible."""
    return _nature(growth, lambda share: float(rng.beta(share.alpha, share.beta)), lambda level: _one_level(level, rng))


def _one_level(level: Level, rng: np.random.Generator) -> Spread:
    spread = 1 / sqrt(rng.gamma(level.shape, 1 / level.scale))
    return float(rng.normal(level.mean, spread / sqrt(level.weight))), spread


def _nature(growth: Growth, share: _OfShare, level: _OfLevel) -> Nature:
    return Nature(
        crop=growth.crop,
        cover_days=growth.cover_days,
        cuts=growth.cuts,
        germination=share(growth.germination),
        shelves=share(growth.shelves),
        towers=share(growth.towers),
        regrown=share(growth.regrown),
        nursery_days=level(growth.nursery_days),
        tower_days=level(growth.tower_days),
        regrow_days=level(growth.regrow_days) if growth.regrow_days else None,
        picked=level(growth.picked) if growth.picked else None,
        season=growth.season,
    )


@dataclass(frozen=True)
class BatchLuck:
    """What befalls one batch: its shares, and a draw for each plug and tower.

    plug, plant: between 0 and 1 for each plug (coming up) and plant (the shelves). cut: the same for each cut and
    plant. days: standard normal for the nursery. tower, bunches: standard normal for each cut and tower.
    """

    nature: Nature
    up: float
    keep: float
    cut_keep: tuple[float, ...]
    plug: Draws
    plant: Draws
    cut: Draws
    days: float
    tower: Draws
    bunches: Draws

    def come_up(self, plugs: int) -> int:
        """Plants that come up of so many plugs."""
        return int((self.plug[:plugs] < self.up).sum())

    def leave_shelves(self, plants: int) -> int:
        """Plants that live to leave the shelves."""
        return int((self.plant[:plants] < self.keep).sum())

    def nursery_days(self) -> float:
        """From sowing to the towers. [days]"""
        mean, spread = self.nature.nursery_days
        return float(max(self.nature.cover_days, mean + spread * self.days))

    def tower_days(self, tower: int, cut: int) -> float:
        """From coming into a tower, or from the last cut, to the next; without the season. [days]"""
        mean, spread = (self.nature.tower_days if cut == 0 else self.nature.regrow_days) or (0.0, 0.0)
        return float(max(1.0, mean + spread * self.tower[cut, tower]))

    def survivors(self, cut: int, first: int, plants: int) -> int:
        """Plants that live to a cut; `first` is the number in the batch of the first of them."""
        return int((self.cut[cut, first : first + plants] < self.cut_keep[cut]).sum())

    def heads(self, tower: int, cut: int, plants: int) -> int:
        """Heads or bunches that so many plants of a tower give at a cut."""
        if self.nature.picked is None:
            return plants
        mean, spread = self.nature.picked
        return round(plants * max(0.0, mean + spread * float(self.bunches[cut, tower])))


@dataclass
class Luck:
    """The luck of a whole season, by crop and week; `alike` is how much plants of one batch share theirs."""

    seed: int
    natures: Mapping[str, Nature]
    alike: float = assumed()["towers"]["alike"]
    _drawn: dict[tuple[str, int], BatchLuck] = field(default_factory=dict, repr=False)

    def of(self, crop: str, week: int) -> BatchLuck:
        """The luck of what is sown of a crop in a week."""
        if (crop, week) not in self._drawn:
            self._drawn[crop, week] = self._draw(crop, week)
        return self._drawn[crop, week]

    def _draw(self, crop: str, week: int) -> BatchLuck:
        nature = self.natures[crop]
        rng = np.random.default_rng([self.seed, *crop.encode(), week])
        within = assumed()["tower_days"]["within"]
        batch = rng.standard_normal((nature.cuts, 1))
        return BatchLuck(
            nature=nature,
            up=self._share(nature.germination, rng),
            keep=self._share(nature.shelves, rng),
            cut_keep=tuple(self._share(nature.regrown if cut else nature.towers, rng) for cut in range(nature.cuts)),
            days=float(rng.standard_normal()),
            plug=rng.random(MOST_PLUGS),
            plant=rng.random(MOST_PLUGS),
            cut=rng.random((nature.cuts, MOST_PLUGS)),
            tower=sqrt(1 - within) * batch + sqrt(within) * rng.standard_normal((nature.cuts, MOST_PLUGS)),
            bunches=rng.standard_normal((nature.cuts, MOST_PLUGS)),
        )

    def _share(self, share: float, rng: np.random.Generator) -> float:
        """A batch's own share about the crop's."""
        if not 0 < share < 1 or not self.alike:
            return share
        strength = 1 / self.alike - 1
        return float(rng.beta(share * strength, (1 - share) * strength))


class _OfShare(Protocol):
    def __call__(self, share: Share, /) -> float: ...


class _OfLevel(Protocol):
    def __call__(self, level: Level, /) -> Spread: ...
