"""How unevenly hours are shared, against the published definition.

Weisstein, E. W., "Gini Coefficient", MathWorld (https://mathworld.wolfram.com/GiniCoefficient.html), after Dixon et al.
(1987, 1988) and Damgaard and Weiner (2000): the mean of the difference of every possible pair, divided by twice the mean
(first formula); 0 where all are equal. That a finite sample reaches (n-1)/n at most: documentation of ClickHouse's `gini`.
"""

from statistics import fmean

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.month.tally import gini

HOURS = st.lists(st.integers(0, 10_000), min_size=1, max_size=30)


def by_pairs(values):
    """The first formula, as it is written there."""
    n = len(values)
    return sum(abs(one - other) for one in values for other in values) / (2 * n * n * fmean(values))


@given(HOURS.filter(any))
def test_it_is_the_mean_difference_of_pairs_by_twice_the_mean(values):
    assert gini(values) == pytest.approx(by_pairs(values), abs=1e-9)


@given(st.integers(1, 10_000), st.integers(1, 50))
def test_where_all_have_the_same_it_is_0(value, people):
    assert gini([value] * people) == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize("people", [1, 2, 10, 500])
def test_where_one_has_all_it_is_one_less_than_all_by_all(people):
    assert gini([0.0] * (people - 1) + [7.5]) == pytest.approx((people - 1) / people)


@given(HOURS.filter(any), st.integers(2, 9))
def test_neither_the_unit_nor_the_same_crowd_twice_over_changes_it(values, times):
    assert gini([times * one for one in values]) == pytest.approx(gini(values))
    assert gini(values * times) == pytest.approx(gini(values))


def test_where_nobody_has_anything_nothing_is_unevenly_shared():
    assert gini([0, 0, 0]) == 0.0


@pytest.mark.parametrize("values", [[], [3, -1]])
def test_less_than_nothing_or_nobody_is_refused(values):
    with pytest.raises(ValueError, match="0 or more"):
        gini(values)
