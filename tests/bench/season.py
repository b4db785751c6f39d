"""How long seasons take to play and forecasts to make, how often ranges hold, and how the ways of sowing compare.

Run by hand: `python -m tests.bench.season [farms] [seasons]`. Times are of this machine; read them beside the bare loop
in the same run.
"""

import sys
import time
from collections import defaultdict
from datetime import date
from statistics import fmean, stdev

import numpy as np

from core.crops import profile
from core.planning.growth import published
from core.planning.simulator import POLICIES, Game, one_possible, play
from tests.core.planning.small_farm import compared

TARGETS = {
    "butterhead": 40.0,
    "romaine": 32.0,
    "oakleaf": 24.0,
    "pak_choi": 24.0,
    "kale": 30.0,
    "parsley": 12.0,
    "cilantro": 14.0,
    "mint": 12.0,
}
GROWTHS = {crop: published(profile(crop)) for crop in TARGETS}


def eight_crops() -> Game:
    """A container of 142 towers with eight crops, as the invented farm has it."""
    return Game(
        start=date(2026, 1, 5),
        targets=TARGETS,
        keeps={crop: profile(crop).window_days for crop in TARGETS},
        towers=142,
        sites_per_tower=8,
        shelf_cells=640,
        cover_cells=320,
        tray_cells=40,
        weekdays=(0, 1, 2, 3, 4, 5),
    )


def bare_loop() -> float:
    """Seconds for a million additions in a plain loop."""
    began, total = time.perf_counter(), 0
    for number in range(1_000_000):
        total += number
    return time.perf_counter() - began


def ranges_hold(farms: int) -> None:
    """How often what came lay in the range of 80 %, in seasons of farms whose true rates nobody knew."""
    began = time.perf_counter()
    rows = [row for seed in range(farms) for row in compared(seed, at_weeks=[20, 32, 44], weeks_ahead=6)]
    held = [one.low <= came <= one.high for _, _, one, came in rows]
    below = fmean(came < one.low for _, _, one, came in rows)
    above = fmean(came > one.high for _, _, one, came in rows)
    print(f"{len(rows)} crop-weeks of {farms} farms in {time.perf_counter() - began:.1f} s")
    print(f"range of 80 % holds {fmean(held):.1%}; below it {below:.1%}, above it {above:.1%}")
    groups = defaultdict(list)
    for (crop, far, _, _), one in zip(rows, held, strict=True):
        groups[crop].append(one)
        groups[f"{far} weeks ahead"].append(one)
    print("  " + ", ".join(f"{name} {fmean(ones):.0%}" for name, ones in sorted(groups.items())))


def ways_compared(seasons: int) -> None:
    """Every way of sowing over the same seasons."""
    columns = ("targets_met", "given", "wasted", "hours", "occupied", "seconds", "planning")
    print("".ljust(15) + "".join(one.rjust(16) for one in columns))
    for name in POLICIES:
        scores = []
        for seed in range(1, seasons + 1):
            rng = np.random.default_rng([seed, 0])
            natures = {crop: one_possible(growth, rng) for crop, growth in GROWTHS.items()}
            scores.append(play(eight_crops(), natures, GROWTHS, name, seed))
        cells = []
        for column in columns:
            values = [getattr(one, column) for one in scores]
            cells.append(f"{fmean(values):.3f} ({stdev(values) if seasons > 1 else 0:.3f})".rjust(16))
        print(name.ljust(15) + "".join(cells))


if __name__ == "__main__":
    numbers = [int(one) for one in sys.argv[1:]]
    print(f"a million additions: {bare_loop():.3f} s")
    ranges_hold(numbers[0] if numbers else 40)
    ways_compared(numbers[1] if len(numbers) > 1 else 5)
