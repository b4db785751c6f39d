"""Who is asked to step in on a shift: in what order, how many at once, and when others are asked. Pure."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from statistics import median
from typing import Any


@dataclass(frozen=True, slots=True)
class Past:
    """What is known of somebody who was asked to step in before: how often lately, how often they answered, how fast.

    answer_min: the minutes each of their answers took. [min]
    """

    asked: int = 0
    answered: int = 0
    answer_min: tuple[float, ...] = ()

    @property
    def usual_min(self) -> float:
        """The minutes they usually take; what is common where they never answered. [min]"""
        return median(self.answer_min) if self.answer_min else float(_data()["asking"]["usual_answer_min"])

    @property
    def share_answered(self) -> float:
        """Of the times they were asked, how many they answered; a half where they never were."""
        return self.answered / self.asked if self.asked else 0.5


@dataclass(frozen=True, slots=True)
class Wave:
    """How many are asked at once for each free place, and how long they are waited for."""

    people: int
    wait: timedelta


@cache
def _data() -> dict[str, Any]:
    return tomllib.loads(Path(__file__).with_suffix(".toml").read_text("utf-8"))


def look_back() -> timedelta:
    """How far back it counts that somebody was asked."""
    return timedelta(days=_data()["asking"]["look_back_days"])


def give_up_at(starts_at: datetime) -> datetime:
    """From when on nobody is asked any more for a shift."""
    return starts_at - timedelta(minutes=_data()["asking"]["give_up_min"])


def patient_until(starts_at: datetime) -> datetime:
    """Until when those who have not answered are waited for, before it is said that nobody was found."""
    return starts_at - timedelta(hours=_data()["asking"]["patient_hours"])


def wave(starts_at: datetime, now: datetime) -> Wave:
    """The wave that is right so long before a shift: the nearer it is, the more are asked and the shorter the wait."""
    hours = (starts_at - now) / timedelta(hours=1)
    rows = _data()["asking"]["waves"]
    row = next((one for one in rows if hours <= one["within_hours"]), rows[-1])
    return Wave(row["people"], timedelta(minutes=row["wait_min"]))


def worth(rank: int, of: int, past: Past) -> float:
    """How good it is to ask somebody, by the weights of standins.toml.

    Args:
        rank: their place in the roster's order of those who are able, the first being 0.
        of: how many there are in that order.
        past: how it went when they were asked before.
    """
    weights = _data()["weights"]
    return float(
        weights["fit"] * (1 - rank / max(of, 1))
        + weights["asked"] * past.asked
        + weights["answers"] * past.share_answered
        + weights["slow_hours"] * past.usual_min / 60
    )


def in_order(able: Sequence[int], past: dict[int, Past]) -> list[int]:
    """Those who are able, the best to ask first.

    Args:
        able: persons in the roster's order.
        past: person -> how it went before; who is not in it was never asked.
    """
    of = len(able)
    worths = {who: worth(rank, of, past.get(who, Past())) for rank, who in enumerate(able)}
    return sorted(able, key=lambda who: (-worths[who], able.index(who)))


def next_wave(able: Iterable[int], places: int, size: int) -> list[int]:
    """Whom to ask now, of those who are able and were not asked yet, in order: so many for each free place."""
    return list(able)[: places * size] if places > 0 else []


def accompanied(minors: int, adults: int, minors_per_adult: int) -> bool:
    """Whether there are adults enough on a shift for the minors on it."""
    return minors <= minors_per_adult * adults
