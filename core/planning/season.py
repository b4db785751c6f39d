"""A wave of one year in the days a crop takes: learnt only when the farm's counts carry it.

In a lit and cooled container the season is weak. So the wave is shrunk towards none, and not believed at all until the
counts speak for it strongly.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import cos, sin, tau

import numpy as np
from numpy.typing import NDArray

from core.planning.rates import assumed

YEAR_DAYS = 365.25
VAGUE = 1e4
"""Variance of the mean, which is left open: far wider than any count of days."""


@dataclass(frozen=True, slots=True)
class Season:
    """Days more (or, below zero, fewer) that a crop takes at a time of the year: a cosine and a sine. [days]"""

    cosine: float = 0.0
    sine: float = 0.0

    def on(self, day: date) -> float:
        """The days more on a day of the year. [days]"""
        angle = tau * day.timetuple().tm_yday / YEAR_DAYS
        return self.cosine * cos(angle) + self.sine * sin(angle)


NONE = Season()


def learn_season(days: Sequence[date], values: Sequence[float], spread: float) -> Season:
    """The wave that counts carry, or none.

    Args:
        days: when each count was taken.
        values: what was counted, in days.
        spread: how far counts lie apart without a season, one standard deviation. [days]

    Returns:
        The mean of the wave given the counts, shrunk towards none; NONE while there are few counts or the evidence
        (Bayes factor against no wave) is not strong.
    """
    row = assumed()["season"]
    if len(values) < row["least_counts"]:
        return NONE
    angles = tau * np.array([day.timetuple().tm_yday for day in days]) / YEAR_DAYS
    waves = np.column_stack([np.cos(angles), np.sin(angles)])
    counted = np.asarray(values, dtype=float)
    apart = counted - counted.mean()
    flat = np.full((len(apart), len(apart)), VAGUE) + np.eye(len(apart)) * spread**2
    waved = flat + row["swing_days"] ** 2 * waves @ waves.T
    if _log_evidence(apart, waved) - _log_evidence(apart, flat) < row["evidence"]:
        return NONE
    cosine, sine = row["swing_days"] ** 2 * waves.T @ np.linalg.solve(waved, apart)
    return Season(float(cosine), float(sine))


def _log_evidence(values: NDArray[np.float64], covariance: NDArray[np.float64]) -> float:
    """Log density of values about zero under a normal distribution, but for a constant."""
    _, log_determinant = np.linalg.slogdet(covariance)
    return float(-0.5 * (log_determinant + values @ np.linalg.solve(covariance, values)))
