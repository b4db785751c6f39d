"""How long the sowing plan takes, and how near it is to the best: `python -m tests.bench.plan`.

Invented farms in their stride, 12 crops and 26 weeks on one core, to a gap of 0.5 %. Three kinds: as drawn (towers from
too few to plenty), plenty of towers, and plenty with nothing out of reach wanted. In the last the cost holds no heads
missing, only waste, seed and unevenness, so that the gap is the hardest to close: a share of little. Beside it stands
what a better plan could save at most, in heads cut for nobody. Seconds are those of the processor, reading included;
`waited` is what the clock says of the search, which other work on the machine makes longer.
"""

from __future__ import annotations

import sys
from statistics import median
from time import process_time

from core.planning.formulation import weights
from core.planning.model import Plan, Problem
from core.planning.sowing_plan import plan
from tests.core.planning.random_farms import farm, within_reach

GOAL_GAP = 0.005
GOAL_S = 2.0
FARMS = 12


KINDS = {
    "as drawn": lambda seed: farm(seed),
    "plenty of towers": lambda seed: farm(seed, tight=2.0),
    "nothing missing": lambda seed: within_reach(farm(seed, tight=2.0)),
}


def timed(problem: Problem) -> tuple[Plan, float]:
    """A plan to the goal, and the seconds of one core that it took."""
    began = process_time()
    made = plan(problem, GOAL_S, gap=GOAL_GAP)
    return made, process_time() - began


def within(made: Plan, seconds: float) -> bool:
    """Whether the goal was met."""
    return made.gap <= GOAL_GAP and seconds <= GOAL_S


def row(kind: str, seed: int, made: Plan, seconds: float) -> str:
    """One farm's line of the table."""
    saved = (made.cost - made.bound) / weights()["waste"]
    times = f"{seconds:8.2f} {made.seconds:7.2f}"
    figures = f"{100 * made.gap:8.3f} {saved:8.1f} {made.cost:10.0f} {made.missing:9.0f} {made.waste:7.0f}"
    return f"{kind:18} {seed:4} {times} {figures}   {'yes' if within(made, seconds) else 'no'}"


def main() -> None:
    """Plan every farm and print the table."""
    farms = int(sys.argv[1]) if len(sys.argv) > 1 else FARMS
    print(f"{'farm':18} seed  seconds  waited    gap %  at most       cost   missing   waste   <= 0.5 % in <= 2 s")
    for kind, make in KINDS.items():
        plans = []
        for seed in range(farms):
            plans.append(timed(make(seed)))
            print(row(kind, seed, *plans[-1]), flush=True)
        seconds, gaps = [one for _, one in plans], [made.gap for made, _ in plans]
        print(
            f"{kind}: {sum(within(*one) for one in plans)} of {farms} within; median {median(seconds):.2f} s, "
            f"longest {max(seconds):.2f} s; median gap {100 * median(gaps):.3f} %, widest {100 * max(gaps):.3f} %"
        )


if __name__ == "__main__":
    main()
