"""One crop's coming weeks, drawn many times over from what is believed of it.

Each draw takes the crop's rates once (nobody knows them exactly), then each batch's own luck, then each tower's. What
stands has its age: a tower that was not ripe on the last day of cutting ripens later than that. Days are numbers from
today; below zero is past.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.planning.ahead import Ahead
from core.planning.growth import Growth
from core.planning.model import Standing
from core.planning.rates import Level, Share, assumed

Draws = NDArray[np.float64]

REDRAWS = 12
"""A tower still not ripe after so many tries is far over its time, and is taken as ripe now."""


class CropDraws:
    """One crop while it is drawn. ready: heads or bunches ready to cut, one row a draw, one column a week."""

    def __init__(self, growth: Growth, ahead: Ahead, rng: np.random.Generator, draws: int) -> None:
        self.growth, self.ahead, self.rng, self.n = growth, ahead, rng, draws
        self.ready = np.zeros((draws, ahead.weeks))
        shares = (growth.germination, growth.shelves, growth.towers, growth.regrown)
        self.germination, self.shelves, self.towers, self.regrown = (
            rng.beta(one.alpha, one.beta, draws) for one in shares
        )
        self.nursery = self._level(growth.nursery_days)
        self.first = self._level(growth.tower_days)
        self.regrow = self._level(growth.regrow_days) if growth.regrow_days else None
        self.picked = self._level(growth.picked) if growth.picked else None

    def stands(self, group: Sequence[Standing]) -> None:
        """Add what will be cut of plants that came to places of one kind on one day."""
        one = group[0]
        plants = np.array([row.plants for row in group]).round().astype(int)
        if one.where == "tower":
            begun = one.last_cut if one.cuts and one.last_cut else one.since
            loads = np.repeat(plants[:, None], self.n, axis=1)
            self._cut(loads, np.full(self.n, float((begun - self.ahead.today).days)), one.cuts)
            return
        sown = one.since if one.where == "cover" else one.since - timedelta(days=self.growth.cover_days)
        self._raise(int(plants.sum()), sown, up=one.where == "shelf")

    def sown(self, plugs: int, day: date) -> None:
        """Add what will be cut of plugs sown on a day."""
        self._raise(plugs, day, up=False)

    def _raise(self, plugs: int, sown: date, *, up: bool) -> None:
        """From the nursery into the towers; `up` where only what came up is counted."""
        plants: Any = plugs if up else self._binomial(np.full(self.n, plugs), self.germination, "germination")
        plants = self._binomial(np.broadcast_to(plants, self.n), self.shelves, "shelves")
        mean, spread = self.nursery
        begun = (sown - self.ahead.today).days
        into = begun + self._later_than(-begun - 1, np.zeros(self.n), mean, spread)
        sites = self.ahead.sites_per_tower
        firsts = sites * np.arange(-(-int(plants.max(initial=0)) // sites))
        self._cut(np.clip(plants[None, :] - firsts[:, None], 0, sites), np.ceil(into), 0)

    def _cut(self, loads: NDArray[np.int64], begun: Draws, cuts: int) -> None:
        """Every cut of plants in towers (a row each), which began to grow towards it on a day."""
        since = np.broadcast_to(begun, loads.shape)
        for number in range(cuts, self.growth.cuts):
            levels = self.first if number == 0 else self.regrow
            if levels is None or loads.shape[0] == 0:
                return
            mean, spread = levels
            wave = self._wave(since) if number == 0 else 0.0
            passed = (self.ahead.last_cut_day - self.ahead.today).days - since
            days = self._later_than(passed, wave, mean, spread)
            loads = self._binomial(loads, *(self.regrown, "regrown") if number else (self.towers, "towers"))
            since = np.maximum(np.ceil(since + days), 0)
            if not self._count(loads, since):
                return

    def _count(self, loads: NDArray[np.int64], ripe: Draws) -> bool:
        """Add plants ripe on days to the weeks in which they are cut; whether any were."""
        at = np.minimum(ripe, len(self.ahead.week_of) - 1).astype(int)
        weeks = self.ahead.week_of[at]
        within = weeks < self.ahead.weeks
        if not within.any():
            return False
        heads = loads.astype(float)
        if self.picked is not None:
            mean, spread = self.picked
            heads = np.round(heads * np.maximum(mean + spread * self.rng.standard_normal(heads.shape), 0))
        rows = np.broadcast_to(np.arange(self.n), heads.shape)
        cells = (rows * self.ahead.weeks + weeks)[within]
        self.ready += np.bincount(cells, heads[within], self.ready.size).reshape(self.ready.shape)
        return True

    def _level(self, level: Level) -> tuple[Draws, Draws]:
        """Mean and spread of a level, a draw each."""
        spread = 1 / np.sqrt(self.rng.gamma(level.shape, 1 / level.scale, self.n))
        return self.rng.normal(level.mean, spread / np.sqrt(level.weight)), spread

    def _binomial(self, plants: NDArray[np.int64], share: Draws, name: str) -> NDArray[np.int64]:
        """Plants that live, each batch with a share of its own about the crop's."""
        own: Share = getattr(self.growth, name)
        if own.alike:
            strength = 1 / own.alike - 1
            kept = np.clip(share, 1e-6, 1 - 1e-6)
            share = self.rng.beta(kept * strength, (1 - kept) * strength)
        return self.rng.binomial(plants, np.broadcast_to(share, plants.shape)).astype(np.int64)

    def _later_than(self, passed: Any, wave: Any, mean: Draws, spread: Draws) -> Draws:
        """Days until ripe, known to be more than have passed: part of their spread is the batch's, part the tower's."""
        shape = np.broadcast_shapes(np.shape(passed), np.shape(wave), mean.shape)
        within = assumed()["tower_days"]["within"] if len(shape) > 1 else 0.0
        batch = np.sqrt(1 - within) * self.rng.standard_normal(self.n)
        own = np.sqrt(within) * self.rng.standard_normal(shape)
        days = np.broadcast_to(mean + wave + spread * (batch + own), shape).copy()
        floor = np.broadcast_to(passed, shape)
        about, apart = np.broadcast_to(mean + wave, shape), np.broadcast_to(spread, shape)
        for _ in range(REDRAWS):
            early = days <= floor
            if not early.any():
                break
            days[early] = self.rng.normal(about[early], apart[early])
        return np.asarray(np.maximum(days, floor))

    def _wave(self, since: Draws) -> Draws | float:
        """What the season adds to the days of plants that came into the towers on days."""
        if not (self.growth.season.cosine or self.growth.season.sine):
            return 0.0
        numbers, where = np.unique(since, return_inverse=True)
        waves = [self.growth.season.on(self.ahead.today + timedelta(days=int(number))) for number in numbers]
        return np.asarray(np.array(waves)[where].reshape(since.shape))
