"""A plan taken apart crop by crop: what it proves is true, it proves more than the relaxation, and no cost is believed."""

import numpy as np
import pytest

from core.planning.blocks import split
from core.planning.formulation import formulate
from core.planning.solver import Rounding, prove, relax, solve
from core.planning.sowing_plan import plan
from tests.cbc import solved_by_cbc
from tests.core.planning.random_farms import farm, within_reach


@pytest.mark.parametrize("tight", [0.8, 2.0])
def test_at_the_prices_of_the_relaxation_the_blocks_cost_together_what_it_does(tight):
    programme = formulate(farm(4, tight=tight)).programme
    rounding = Rounding(programme)
    added, blocks = split(programme, rounding.prices)
    assert sorted(column for block in blocks for column in block.columns) == list(range(len(programme.costs)))
    assert added + sum(relax(block.programme).cost for block in blocks) == pytest.approx(rounding.bound, rel=1e-7)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("tight", [0.8, 2.0])
def test_no_plan_costs_less_than_the_blocks_say(seed, tight):
    """A second solver seeks the cheapest plan of all; it lies between what is proved and what is found."""
    programme = formulate(farm(seed, crops=3, weeks=9, tight=tight)).programme
    found, least = solve(programme, 30, gap=1e-4, tries=10), solved_by_cbc(programme, 1e-6)
    assert found.bound <= least * (1 + 2e-6)
    assert found.cost >= least * (1 - 2e-6)


@pytest.mark.parametrize("seed", [3, 5, 8, 9, 11])
def test_a_farm_that_misses_nothing_is_planned_to_half_a_percent(seed):
    """12 crops and 26 weeks; the cost is only waste, seed and unevenness. The relaxation alone does not prove it."""
    problem = within_reach(farm(seed, tight=2.0))
    made = plan(problem, gap=0.005, tries=30)
    assert made.gap <= 0.005
    assert made.bound > relax(formulate(problem).programme).cost


def test_a_solution_costs_what_its_values_come_to_whatever_the_solver_says():
    """HiGHS 1.16 takes some of these starts for half as dear as they are, and then for the best there is."""
    model = formulate(within_reach(farm(9, tight=2.0)))
    programme, rounding = model.programme, Rounding(model.programme)
    for week in range(model.problem.weeks):
        rounding.settle([at for (_, sown), at in model.sow.items() if sown == week])
    for block in split(programme, rounding.prices)[1]:
        start = [rounding.now.values[column] for column in block.columns]
        found = prove(block.programme, 0.1, start=start)
        assert found.cost == pytest.approx(float(np.dot(block.programme.costs, found.values)), rel=1e-6, abs=1e-6)
