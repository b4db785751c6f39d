"""The weeks looked at: who cuts on which days, and what will be sown in them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Sowing:
    """Plugs of one crop that will be sown on a day."""

    crop: str
    day: date
    plugs: int


@dataclass(frozen=True)
class Ahead:
    """The weeks looked at: week 0 is the one with `today` in it, from today on.

    weekdays: on which somebody cuts, 0 is Monday. closed: days on which nobody does.
    sites_per_tower: plants that ripen together.
    """

    today: date
    weeks: int
    weekdays: frozenset[int] = frozenset(range(7))
    closed: frozenset[date] = frozenset()
    sites_per_tower: int = 8

    @property
    def start(self) -> date:
        """Monday of week 0."""
        return self.today - timedelta(days=self.today.weekday())

    @cached_property
    def week_of(self) -> NDArray[np.int64]:
        """For each day from today (ripe on it) the week in which it is cut; `weeks` where that is later."""
        days = 7 * self.weeks - self.today.weekday()
        week, weeks = self.weeks, []
        for number in range(days - 1, -1, -1):
            if self.is_open(self.today + timedelta(days=number)):
                week = (number + self.today.weekday()) // 7
            weeks.append(week)
        return np.array([*reversed(weeks), self.weeks])

    @cached_property
    def last_cut_day(self) -> date:
        """The last day before today on which somebody cut."""
        past = (self.today - timedelta(days=number) for number in range(1, 60))
        return next((day for day in past if self.is_open(day)), self.today - timedelta(days=60))

    def is_open(self, day: date) -> bool:
        """Whether somebody cuts on a day."""
        return day.weekday() in self.weekdays and day not in self.closed
