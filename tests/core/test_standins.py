"""Whom to ask first to step in, how many at once, and for how long they are waited for."""

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from core.standins import Past, accompanied, give_up_at, in_order, next_wave, patient_until, wave

START = datetime(2026, 5, 9, 14, tzinfo=UTC)


def test_of_equals_the_one_who_was_asked_least_lately_comes_first():
    assert in_order([1, 2], {1: Past(asked=3, answered=3, answer_min=(20.0,)), 2: Past()}) == [2, 1]


def test_of_equals_the_one_who_answers_faster_comes_first():
    slow = Past(asked=1, answered=1, answer_min=(600.0,))
    fast = Past(asked=1, answered=1, answer_min=(5.0,))
    assert in_order([1, 2], {1: slow, 2: fast}) == [2, 1]


def test_the_better_fit_comes_first_where_nobody_was_asked_before():
    assert in_order([7, 3, 9], {}) == [7, 3, 9]


def test_the_usual_time_is_the_middle_one_of_those_they_took():
    assert Past(3, 3, (5.0, 10.0, 900.0)).usual_min == 10
    assert Past().usual_min == 60


def test_the_nearer_the_shift_the_more_are_asked_and_the_shorter_they_are_waited_for():
    waves = [wave(START, START - timedelta(hours=hours)) for hours in (2, 12, 60, 200)]
    assert [one.people for one in waves] == sorted((one.people for one in waves), reverse=True)
    assert [one.wait for one in waves] == sorted(one.wait for one in waves)


def test_the_coordinator_has_time_left_when_nobody_is_found():
    assert patient_until(START) < give_up_at(START) < START


@given(st.lists(st.integers(1, 500), unique=True, max_size=40), st.integers(0, 4), st.integers(1, 5))
def test_a_wave_holds_no_more_than_so_many_for_each_place_and_nobody_twice(able, places, size):
    asked = next_wave(able, places, size)
    assert len(asked) == min(len(able), places * size)
    assert len(set(asked)) == len(asked)


@given(
    st.lists(st.integers(1, 500), unique=True, max_size=40),
    st.dictionaries(st.integers(1, 500), st.builds(Past, st.integers(0, 9), st.integers(0, 9))),
)
def test_nobody_is_lost_or_added_by_putting_them_in_order(able, past):
    assert sorted(in_order(able, past)) == sorted(able)


@given(st.integers(0, 20), st.integers(1, 5))
def test_minors_are_never_accompanied_without_an_adult(minors, ratio):
    assert accompanied(minors, 0, ratio) == (minors == 0)
