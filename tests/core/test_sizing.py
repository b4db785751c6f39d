"""How long work takes, by data and by the farm's own history."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.sizing import ENOUGH, LEAST_SHARE, MOST_SHARE, learnt, minutes_for, people_for, sizes


def test_too_few_times_say_nothing():
    assert learnt("harvest", [(30, 3)] * (ENOUGH - 1)) is None


def test_enough_times_give_the_median_of_minutes_a_unit():
    times = [(30, 3), (24, 3), (40, 5), (60, 6), (9, 1)]
    assert learnt("harvest", times) == 9


def test_one_forgotten_clock_does_not_move_the_figure():
    times = [(30, 3), (24, 3), (40, 5), (60, 6)]
    assert learnt("harvest", [*times, (9, 1)]) == learnt("harvest", [*times, (900, 100)])


def test_times_without_units_are_left_out():
    assert learnt("clean", [(30, 0)] * 20) is None


@given(st.lists(st.tuples(st.floats(0.1, 5000), st.floats(0.5, 50)), min_size=ENOUGH, max_size=30))
def test_a_learnt_figure_stays_within_reason(times):
    usual = sizes()["move"].minutes
    assert LEAST_SHARE * usual <= learnt("move", times) <= MOST_SHARE * usual


@pytest.mark.parametrize(
    ("units", "known", "minutes"), [(1, {}, 10), (4, {}, 25), (4, {"harvest": 5}, 20), (0.5, {}, 5)]
)
def test_minutes_are_rounded_up_to_five(units, known, minutes):
    assert minutes_for("harvest", units, known) == minutes


def test_more_than_one_stretch_is_for_more_than_one():
    assert [people_for(minutes) for minutes in (5, 45, 50, 90, 95)] == [1, 1, 2, 2, 3]
