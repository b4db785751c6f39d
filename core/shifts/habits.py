"""What the roster takes for granted of people and shifts, from habits.toml."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, time
from functools import cache
from pathlib import Path
from typing import Any

SATURDAY = 5


@dataclass(frozen=True, slots=True)
class Limits:
    """The most somebody of an age group is given on a day and in a week, and the hours they may be there. [min]"""

    day_min: int
    week_min: int
    source: str
    earliest: time = time.min
    latest: time = time.max

    def allow(self, start: time, end: time) -> bool:
        """Whether they may be there from one hour to another."""
        return self.earliest <= start and end <= self.latest


@cache
def habits() -> Mapping[str, Any]:
    """The whole of habits.toml."""
    return tomllib.loads(Path(__file__).with_suffix(".toml").read_text("utf-8"))


def in_school_hours(starts_at: datetime, ends_at: datetime) -> bool:
    """Whether a farm-local stretch of time falls into the hours at which no minor is asked to come."""
    start, end = (time.fromisoformat(habits()["school"][one]) for one in ("from", "to"))
    return starts_at.weekday() < SATURDAY and starts_at.time() < end and start < ends_at.time()


@cache
def limits(age: str) -> Limits:
    """The limits of an age group; whoever has not told theirs is taken for a minor."""
    row = dict(habits()[age if age in ("adult", "retired") else "minor"])
    row |= {name: time.fromisoformat(row[name]) for name in ("earliest", "latest") if name in row}
    return Limits(**row)
