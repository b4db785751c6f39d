"""The programme solved a second time by CBC (through PuLP): the same cost, whoever solves it."""

import pytest

from core.planning.formulation import formulate
from core.planning.solver import relax, solve
from tests.cbc import solved_by_cbc
from tests.core.planning.random_farms import farm


@pytest.mark.parametrize("seed", range(4))
def test_both_solvers_find_the_same_least_cost(seed):
    programme = formulate(farm(seed, crops=3, weeks=9)).programme
    ours = solve(programme, 30, gap=1e-5)
    assert solved_by_cbc(programme, 1e-5) == pytest.approx(ours.cost, rel=3e-5)


@pytest.mark.parametrize("seed", range(3))
def test_no_solver_goes_below_the_bound_of_a_larger_farm(seed):
    """12 crops and 26 weeks, whole numbers broken: both find the same bound."""
    programme = formulate(farm(seed)).programme
    programme.whole.clear()
    assert solved_by_cbc(programme, 0) == pytest.approx(relax(programme).cost, rel=1e-6)
