"""Judging a reading: in range or not, likely or not, possible or not, and when it is an alarm."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.notes import MEASURES
from core.readings import Range, alarming, judge, likely, limits, overlap, possible, usual

FIGURES = st.floats(-1000, 200_000)


@pytest.mark.parametrize("measure", MEASURES)
@pytest.mark.parametrize("kind", ["possible", "likely", "fine"])
def test_every_measure_has_its_limits_with_a_unit_and_a_source(measure, kind):
    limit = limits()[measure, kind]
    assert limit.range.low < limit.range.high
    assert limit.unit
    assert len(limit.source) > 10


@pytest.mark.parametrize("measure", MEASURES)
def test_what_is_fine_is_likely_and_what_is_likely_is_possible(measure):
    fine, sure, can_be = (limits()[measure, kind].range for kind in ("fine", "likely", "possible"))
    assert can_be.low <= sure.low <= fine.low
    assert min(fine.high, sure.high) <= sure.high <= can_be.high


@pytest.mark.parametrize(
    ("measure", "value"), [("ph", 20), ("ph", -1), ("air_temp", 900), ("humidity", 101), ("level", -5), ("ec", 1800)]
)
def test_what_cannot_be_is_not_possible(measure, value):
    assert not possible(measure, value)


@pytest.mark.parametrize(("measure", "value"), [("ph", 12), ("ec", 9), ("water_temp", 45), ("oxygen", 15)])
def test_what_is_possible_but_surprising_is_not_likely(measure, value):
    assert possible(measure, value)
    assert not likely(measure, value)


@given(st.sampled_from(MEASURES), FIGURES)
def test_what_is_not_possible_is_never_likely(measure, value):
    assert possible(measure, value) or not likely(measure, value)


def test_no_number_is_possible():
    assert not possible("ph", math.nan)


@pytest.mark.parametrize(("value", "verdict"), [(5.5, "low"), (5.6, "fine"), (6.3, "fine"), (6.31, "high")])
def test_a_reading_is_judged_by_the_range_that_is_wanted_both_ends_included(value, verdict):
    assert judge("ph", value, Range(5.6, 6.3)) == verdict


def test_where_nothing_is_wanted_the_usual_range_judges():
    assert judge("humidity", 80) == "high"
    assert judge("humidity", usual("humidity").low) == "fine"


def test_an_open_side_is_never_crossed():
    assert judge("oxygen", 19.9) == "fine"


def test_the_strictest_range_suits_every_crop():
    assert overlap([(5.6, 6.3), (5.5, 6.0), (5.8, 7.0)]) == Range(5.8, 6.0)


def test_crops_with_nothing_in_common_have_no_range():
    assert overlap([(5.5, 6.0), (6.5, 7.0)]) is None
    assert overlap([]) is None


@given(st.lists(st.tuples(st.floats(0, 7), st.floats(7, 14)), min_size=1), st.floats(0, 14))
def test_a_value_in_the_overlap_suits_each_of_them(ranges, value):
    common = overlap(ranges)
    assert (value in common) == all(low <= value <= high for low, high in ranges)


def test_a_warning_about_the_air_is_never_held_up_by_a_question():
    assert alarming("co2", 6000)
    assert likely("co2", 6000)


def test_only_danger_is_an_alarm():
    assert not alarming("co2", 1600)
    assert not alarming("ph", 9.0)
    assert alarming("oxygen", 3.9)
