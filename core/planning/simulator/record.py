"""What happened in a season that was played, and what the farm's crew would have counted of it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date

from core.planning.growth import Counts


@dataclass
class Seen:
    """What a crew that counts everything has counted of one crop, batch by batch."""

    germination: list[tuple[float, float]] = field(default_factory=list)
    shelves: list[tuple[float, float]] = field(default_factory=list)
    towers: list[tuple[float, float]] = field(default_factory=list)
    regrown: list[tuple[float, float]] = field(default_factory=list)
    nursery_days: list[float] = field(default_factory=list)
    tower_days: dict[date, list[float]] = field(default_factory=lambda: defaultdict(list))
    regrow_days: dict[date, list[float]] = field(default_factory=lambda: defaultdict(list))
    picked: list[float] = field(default_factory=list)

    def counts(self) -> Counts:
        """The same as the forecast learns from it; towers planted or cut on one day are taken as one batch's."""
        return Counts(
            germination=self.germination,
            shelves=self.shelves,
            towers=self.towers,
            regrown=self.regrown,
            nursery_days=self.nursery_days,
            tower_days=[(since, tuple(days)) for since, days in self.tower_days.items()],
            regrow_days=[(since, tuple(days)) for since, days in self.regrow_days.items()],
            picked=self.picked,
        )


@dataclass
class Record:
    """What happened: by crop and week where it is a list of a crop, else by week.

    ripe: heads or bunches cut. met: of the target. wasted: of what was cut. thrown: seedlings too old.
    sown, lost, picked_out: plants of each crop in all; picked_out are those whose last cut was taken.
    seen: what would have been counted of each crop.
    """

    ripe: dict[str, list[int]]
    met: dict[str, list[float]]
    wasted: list[float]
    thrown: list[int]
    minutes: list[float]
    taken: list[float]
    seen: dict[str, Seen] = field(default_factory=lambda: defaultdict(Seen))
    sown: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    lost: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    picked_out: dict[str, int] = field(default_factory=lambda: defaultdict(int))
