"""What happened in a season that was played, and what the farm's crew would have counted of it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

from core.planning.growth import Tally


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
    seen: dict[str, Tally] = field(default_factory=lambda: defaultdict(Tally))
    sown: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    lost: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    picked_out: dict[str, int] = field(default_factory=lambda: defaultdict(int))
