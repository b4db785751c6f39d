"""How long a proven roster takes, and its repair: random farms of growing size, on one core, by hand.

    python -m tests.bench.roster [--seeds N]

The baseline of the same run is list order: each place goes to the first of the list who can have it.
"""

import argparse
import statistics
from dataclasses import replace
from time import perf_counter, process_time

from core.shifts.roster import repair, roster
from core.shifts.rules import against, faults
from tests.core.shifts.cases import Case, problem

SIZES = ((20, 10), (60, 30), (120, 42))


def in_list_order(case):
    """What a coordinator with a list and a phone does."""
    places = set()
    for shift in case.shifts:
        for worker in case.workers:
            taken = sum(what == shift.id for _, what in places)
            if taken < shift.needed and not against(case, places, (worker.id, shift.id)):
                places.add((worker.id, shift.id))
    return places


def measured(call, *given):
    wall, core = perf_counter(), process_time()
    return call(*given), perf_counter() - wall, process_time() - core


def row(people, shifts, seeds):
    found = {"wall": [], "core": [], "repair": [], "moved": [], "open": [], "list open": [], "proven": 0}
    for seed in range(seeds):
        case = problem(Case(seed, people, shifts))
        now, wall, core = measured(roster, case)
        assert faults(case, now.places) == []
        place = sorted(now.places)[len(now.places) // 2]
        mended, _, fast = measured(repair, replace(case, promised=now.places), now, place)
        for name, value in (("wall", wall), ("core", core), ("repair", fast)):
            found[name].append(value)
        found["moved"].append(len(now.places - {place} - mended.places))
        found["open"].append(sum(now.open.values()))
        found["list open"].append(sum(one.needed for one in case.shifts) - len(in_list_order(case)))
        found["proven"] += now.proven
    return found


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--seeds", type=int, default=20)
    seeds = options.parse_args().seeds
    print(
        f"{'people x shifts':16} proven   roster s (core) median / worst   repair s median / worst   moved   open: ours / list"
    )
    for people, shifts in SIZES:
        one = row(people, shifts, seeds)
        print(
            f"{people:4} x {shifts:<9} {one['proven']:3}/{seeds:<4}"
            f" {statistics.median(one['core']):10.2f} / {max(one['core']):<18.2f}"
            f" {statistics.median(one['repair']):8.3f} / {max(one['repair']):<12.3f}"
            f" {statistics.mean(one['moved']):5.2f}   {statistics.mean(one['open']):6.1f} / {statistics.mean(one['list open']):.1f}"
        )


if __name__ == "__main__":
    main()
