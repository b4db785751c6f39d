"""The robust line against the reference library: SciPy's theilslopes."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from core.trends import LEAST_DAYS, slope

MONDAY = date(2026, 5, 4)


def days(values):
    return [(MONDAY + timedelta(days=at), value) for at, value in enumerate(values)]


@given(st.lists(st.integers(-1000, 1000), min_size=LEAST_DAYS, max_size=20, unique=True))
def test_slope_and_line_are_those_of_the_reference(values):
    """scipy.stats.theilslopes, after Sen 1968 and Theil 1950."""
    reference = theilslopes(values, range(len(values)), alpha=0.95)
    line = slope(days(values), sure=0.95)
    assert line.per_day == pytest.approx(reference.slope)
    assert line.least == pytest.approx(reference.low_slope)
    assert line.most == pytest.approx(reference.high_slope)


@given(st.lists(st.sampled_from([1.0, 2.0, 3.0, 5.0, 8.0]), min_size=LEAST_DAYS, max_size=14))
def test_ties_narrow_the_interval_as_in_the_reference(values):
    """scipy.stats.theilslopes; equal values shrink the variance of Kendall's score (Sen 1968; from memory)."""
    reference = theilslopes(values, range(len(values)), alpha=0.95)
    line = slope(days(values), sure=0.95)
    assert (line.least, line.most) == (pytest.approx(reference.low_slope), pytest.approx(reference.high_slope))
