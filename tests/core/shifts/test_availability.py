"""What people said of when they can come, beside a shift."""

from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.shifts.availability import Said, can_come
from tests.demo_farm import CHICAGO

SATURDAY = date(2026, 5, 9)
MORNING = (9, 12)


def at(hour, day=SATURDAY):
    return datetime.combine(day, time(hour), CHICAGO).astimezone(UTC)


def once(free, start, end, told=0):
    return Said(1, free, at(0) + timedelta(minutes=told), starts_at=at(start), ends_at=at(end))


def weekly(free, start, end, told=0, day="sat", until=None):
    hours = {"day": day, "start": time(start), "end": time(end), "until": until}
    return Said(1, free, at(0) + timedelta(minutes=told), **hours)


def answer(*said, hours=MORNING):
    return can_come(said, at(hours[0]), at(hours[1]), CHICAGO)


def test_who_has_said_nothing_of_those_hours_is_neither_free_nor_busy():
    assert answer() is None
    assert answer(weekly(True, 8, 20, day="sun")) is None


@pytest.mark.parametrize(("start", "end", "can"), [(9, 12, True), (8, 20, True), (9, 11, None), (10, 12, None)])
def test_somebody_can_come_where_they_are_free_all_of_the_shift(start, end, can):
    assert answer(once(True, start, end)) is can


@pytest.mark.parametrize(("start", "end", "can"), [(11, 14, False), (7, 10, False), (12, 14, None), (7, 9, None)])
def test_somebody_cannot_come_where_they_are_busy_for_any_of_it(start, end, can):
    assert answer(once(False, start, end)) is can


def test_busy_beats_free_of_what_was_said_at_once():
    """ "Saturdays, but not before ten"."""
    assert answer(weekly(True, 8, 20), weekly(False, 8, 10)) is False


def test_a_word_about_one_saturday_goes_before_one_about_every_saturday():
    assert answer(once(False, 8, 20), weekly(True, 8, 20, told=5)) is False
    assert answer(once(True, 8, 20), weekly(False, 8, 20, told=5)) is True


def test_a_later_word_goes_before_an_earlier_one():
    assert answer(once(False, 8, 20), once(True, 8, 20, told=5)) is True
    assert answer(weekly(True, 8, 20), weekly(False, 8, 20, told=5)) is False


def test_until_a_day_means_that_day_too():
    assert answer(weekly(True, 8, 20, until=SATURDAY)) is True
    assert answer(weekly(True, 8, 20, until=SATURDAY - timedelta(days=1))) is None


def test_the_same_hours_every_week_are_the_same_on_the_clock_when_the_clock_changes():
    """Clocks go back in Chicago on Sunday 1 November 2026 (IANA)."""
    for day in (date(2026, 10, 25), date(2026, 11, 1)):
        said = weekly(True, 9, 12, day="sun")
        assert can_come([said], at(9, day), at(12, day), CHICAGO) is True


words = st.builds(weekly, st.booleans(), st.integers(8, 13), st.integers(14, 20), st.integers(0, 9)) | st.builds(
    once, st.booleans(), st.integers(8, 13), st.integers(14, 20), st.integers(0, 9)
)


@given(st.lists(words, max_size=5))
def test_the_order_in_which_words_are_looked_up_makes_no_difference(said):
    assert answer(*said) == answer(*reversed(said))


@given(st.lists(words, max_size=5))
def test_who_said_last_that_they_cannot_come_this_once_cannot(said):
    assert answer(*said, once(False, 8, 20, told=10)) is False
