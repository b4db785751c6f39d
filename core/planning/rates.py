"""Rates learnt from the farm's own counts: what is believed before and after them.

A share (of seeds that come up, of plants that live) is a beta distribution, a level (days, bunches a plant) a normal
one of which mean and spread are both unknown (normal-gamma). How strong the published figures are beside counts is
data, in rates.toml.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import sqrt
from pathlib import Path
from typing import Any

Counts = Iterable[tuple[float, float]]
"""For each batch or cut, how many did well and of how many."""

LEAST_SPREAD = 0.1
"""Nothing that grows is the same each time."""


@dataclass(frozen=True, slots=True)
class Share:
    """A share, 0 to 1, as beta(alpha, beta).

    alike: how much plants of one batch share their fate (intraclass correlation, 0 to below 1).
    """

    alpha: float
    beta: float
    alike: float = 0.0

    @property
    def mean(self) -> float:
        """What is expected of the next plant."""
        return self.alpha / (self.alpha + self.beta)

    @property
    def sd(self) -> float:
        """How unsure the share is, one standard deviation."""
        return sqrt(self.mean * (1 - self.mean) / (self.alpha + self.beta + 1))


@dataclass(frozen=True, slots=True)
class Level:
    """A value that varies about a mean, as normal-gamma.

    mean: where its mean is thought to be, as if `weight` values had been seen.
    shape, scale: of the gamma distribution of the precision (1 / variance); scale is its rate.
    """

    mean: float
    weight: float
    shape: float
    scale: float

    @property
    def spread(self) -> float:
        """How far the next value is expected to lie from the mean, one standard deviation, the mean being known."""
        return sqrt(self.scale / (self.shape - 1)) if self.shape > 1 else sqrt(self.scale / self.shape)


@cache
def assumed() -> Mapping[str, Mapping[str, Any]]:
    """What is assumed before the farm has counted, by name, as rates.toml has it."""
    return tomllib.loads(Path(__file__).with_suffix(".toml").read_text("utf-8"))


def share(name: str, published: float) -> Share:
    """A share before anything was counted.

    Args:
        name: "germination", "shelves", "towers" or "regrown".
        published: the crop's own figure, 0 to 1.
    """
    row = assumed()[name]
    value = min(max(published, 0.01), 0.99)
    return Share(value * row["weight"], (1 - value) * row["weight"], row["alike"])


def level(name: str, published: float, spread: float) -> Level:
    """A level before anything was counted.

    Args:
        name: "nursery_days", "tower_days", "regrow_days" or "picked".
        published: its mean.
        spread: how far values lie apart, one standard deviation.
    """
    row = assumed()[name]
    shape = row["spread_weight"] / 2 + 1
    return Level(published, row["weight"], shape, max(spread, LEAST_SPREAD) ** 2 * (shape - 1))


def learn_share(prior: Share, counts: Counts) -> Share:
    """What is believed of a share after counts.

    Plants of one batch tell less than as many of different batches: each count is weighed by one over its design
    effect, 1 + (n - 1) alike.

    Source:
        Gelman A. et al., Bayesian Data Analysis, 3rd ed. 2013, section 2.4 (beta-binomial), and Kish L., Survey
        Sampling, 1965, section 5.4 (design effect), both from memory.
    """
    alpha, beta = prior.alpha, prior.beta
    for good, of in counts:
        if of <= 0:
            continue
        weight = 1 / (1 + max(of - 1, 0) * prior.alike)
        alpha += weight * min(good, of)
        beta += weight * max(of - good, 0)
    return replace(prior, alpha=alpha, beta=beta)


def learn_level(prior: Level, groups: Sequence[Sequence[float]], alike: float = 0.0) -> Level:
    """What is believed of a level after values.

    Args:
        prior: what was believed before.
        groups: the values, those of one batch together.
        alike: how far values of one group share what moves them, 0 to 1: as for shares, so many of them tell less.

    Source:
        Gelman A. et al., Bayesian Data Analysis, 3rd ed. 2013, section 3.3 (normal data, conjugate prior), from memory.
    """
    weighed = [(value, 1 / (1 + (len(group) - 1) * alike)) for group in groups for value in group]
    n = sum(weight for _, weight in weighed)
    if n == 0:
        return prior
    seen = sum(value * weight for value, weight in weighed) / n
    about = sum(weight * (value - seen) ** 2 for value, weight in weighed)
    weight = prior.weight + n
    off = prior.weight * n * (seen - prior.mean) ** 2 / weight
    return Level(
        mean=(prior.weight * prior.mean + n * seen) / weight,
        weight=weight,
        shape=prior.shape + n / 2,
        scale=prior.scale + (about + off) / 2,
    )
