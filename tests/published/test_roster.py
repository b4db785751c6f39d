"""How many places can be filled at all, against the maximum flow through the network of people and shifts.

Ford L.R., Fulkerson D.R., Maximal flow through a network, Canadian Journal of Mathematics 8:399-404, 1956 (from memory).
The flow is found by SciPy's own algorithm. It is exact where only who can come, and how often, stands in the way.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_flow

from core.shifts.roster import roster
from tests.core.shifts.cases import Case, problem


def plain(case):
    """The same farm without minors, skills, wishes or clashes: each person comes to at most so many shifts."""
    workers = [
        replace(one, minor=False, newcomer=False, most_day_min=10_000, most_week_min=10_000, most_shifts=1 + one.id % 3)
        for one in case.workers
    ]
    apart = [replace(one, skills={}, unsafe=False) for one in case.shifts[::3]]
    return replace(case, workers=workers, shifts=apart)


def most_filled(case):
    """Source -> people (how often they come) -> shifts they can come to -> sink (people needed)."""
    shift_at = {one.id: 1 + len(case.workers) + at for at, one in enumerate(case.shifts)}
    sink = 1 + len(case.workers) + len(case.shifts)
    capacity = np.zeros((sink + 1, sink + 1), dtype=np.int32)
    for at, worker in enumerate(case.workers):
        capacity[0, 1 + at] = worker.most_shifts
        for shift in case.shifts:
            capacity[1 + at, shift_at[shift.id]] = worker.id in case.able[shift.id]
    for shift in case.shifts:
        capacity[shift_at[shift.id], sink] = shift.needed
    return maximum_flow(csr_array(capacity), 0, sink).flow_value


@pytest.mark.parametrize("seed", range(10))
def test_as_many_places_are_filled_as_can_flow(seed):
    case = plain(problem(Case(seed, people=18, shifts=24, free=0.15)))
    assert len(roster(case).places) == most_filled(case)


@pytest.mark.parametrize("seed", range(6))
def test_no_roster_fills_more_than_can_flow_once_all_other_rules_hold(seed):
    case = problem(Case(seed, people=18, shifts=9, free=0.2))
    loose = replace(case, workers=[replace(one, most_shifts=one.most_shifts or 9) for one in case.workers])
    assert len(roster(case).places) <= most_filled(loose)
