"""Where a measure is heading: a robust line through daily values, sure or not, and the day it leaves its range."""

import random
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.readings import Range
from core.trends import LEAST_DAYS, daily, leaving, slope

MONDAY = date(2026, 5, 4)
PH = Range(5.6, 6.3)


def days(*values):
    return [(MONDAY + timedelta(days=at), value) for at, value in enumerate(values)]


def test_a_day_counts_once_by_its_middle_value():
    tuesday = MONDAY + timedelta(days=1)
    assert daily([(tuesday, 9.0), (MONDAY, 1), (MONDAY, 50), (MONDAY, 2)]) == [(MONDAY, 2), (tuesday, 9.0)]


def test_too_few_days_make_no_trend():
    assert slope(days(*[5.9] * (LEAST_DAYS - 1))) is None


def test_a_steady_rise_is_told_with_the_day_on_which_it_leaves():
    line = slope(days(5.7, 5.8, 5.91, 6.0, 6.1, 6.19))
    assert line.per_day == pytest.approx(0.1, abs=0.01)
    assert line.sure
    out = leaving(line, PH, MONDAY + timedelta(days=5))
    assert (out.side, out.day) == ("high", MONDAY + timedelta(days=7))
    assert out.soonest <= out.day <= out.latest


def test_one_wild_day_turns_nothing():
    assert slope(days(5.7, 5.8, 13.0, 6.0, 6.1, 6.2, 6.3)).per_day == pytest.approx(0.1, abs=0.01)


def test_what_only_wavers_or_is_far_from_its_ends_leaves_nowhere():
    assert leaving(slope(days(5.9, 6.0, 5.9, 6.0, 5.9, 6.0, 5.95)), PH, MONDAY) is None
    slow = slope(days(*[5.7 + 0.001 * at for at in range(10)]))
    assert slow.sure
    assert leaving(slow, PH, MONDAY) is None


def test_what_is_out_already_is_the_alarms_matter():
    assert leaving(slope(days(6.0, 6.1, 6.2, 6.3, 6.4, 6.5)), PH, MONDAY) is None


VALUES = st.lists(st.floats(-100, 100).map(lambda one: round(one, 3)), min_size=LEAST_DAYS, max_size=14)


@given(VALUES, st.floats(-5, 5))
def test_a_line_added_to_the_values_is_added_to_the_slope(values, more):
    tilted = [value + more * at for at, value in enumerate(values)]
    assert slope(days(*tilted)).per_day == pytest.approx(slope(days(*values)).per_day + more, abs=1e-6)


@given(VALUES)
def test_the_slope_lies_in_its_interval(values):
    line = slope(days(*values))
    assert line.least <= line.per_day <= line.most


def test_the_share_of_false_trends_on_noise_stays_at_what_the_interval_promises():
    """Ten days of noise without a trend, two thousand times, from a fixed seed; four standard errors are allowed."""
    noise, times = random.Random(5), 2000
    false = sum(slope(days(*(noise.gauss(6, 0.05) for _ in range(10)))).sure for _ in range(times))
    assert false / times <= 0.01 + 4 * (0.01 * 0.99 / times) ** 0.5


def test_a_farm_hears_of_few_headings_that_are_none():
    """The same noise amid a range as wide as the crops': a sure trend must also leave it within a week."""
    noise, times = random.Random(6), 2000
    told = 0
    for _ in range(times):
        line = slope(days(*(noise.gauss(5.95, 0.05) for _ in range(10))))
        told += leaving(line, PH, MONDAY) is not None
    assert told / times < 0.005
