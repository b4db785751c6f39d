"""The farm to be played: its room, its crew's days, and what is wanted of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil


@dataclass(frozen=True)
class Game:
    """A farm to be played, and what is wanted of it.

    targets: heads or bunches a week by crop. keeps: days that what is ripe waits for somebody to want it.
    weekdays: on which the crew comes, 0 is Monday; the first of them is for sowing. closed: weeks nobody comes.
    weeks: that count; before them the farm fills for `warm_up` weeks.
    """

    start: date
    targets: Mapping[str, float]
    keeps: Mapping[str, int]
    towers: int
    sites_per_tower: int
    shelf_cells: int
    cover_cells: int
    tray_cells: int
    weekdays: tuple[int, ...] = (0, 2, 5)
    closed: frozenset[int] = frozenset()
    weeks: int = 52
    warm_up: int = 14

    @property
    def all_weeks(self) -> int:
        """Weeks played."""
        return self.warm_up + self.weeks

    def day(self, number: int) -> date:
        """The day of a number; day 0 is `start`, a Monday."""
        return self.start + timedelta(days=number)

    def is_open(self, number: int) -> bool:
        """Whether the crew is there on a day."""
        return number % 7 in self.weekdays and number // 7 not in self.closed

    def open_from(self, number: float) -> int:
        """The first day from a moment on that the crew is there."""
        day = ceil(number)
        while not self.is_open(day):
            day += 1
        return day
