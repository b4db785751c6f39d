"""Shifts made from the work there is."""

from datetime import date, datetime, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.shifts.ahead import DayWork
from core.shifts.habits import habits
from core.shifts.making import Hours, Slot, is_worth_a_shift, shaped
from core.tasks import Work
from tests.demo_farm import CHICAGO

MONDAY = date(2026, 5, 11)
OPEN = Hours(time(8), time(20), time(9), CHICAGO)


def slot(start=8, end=10, needed=2, key="s1"):
    hours = (datetime.combine(MONDAY, time(one), CHICAGO) for one in (start, end))
    return Slot(*hours, needed, key)


def day(minutes, what="harvest"):
    return DayWork(MONDAY, (Work(what, minutes),) if minutes else ())


def test_a_shift_with_people_enough_for_the_work_stays_as_its_pattern_has_it():
    """Two people for two hours do three hours of work: a quarter goes into arriving, washing and a pause."""
    (made,) = shaped(day(180), [slot()], OPEN, ())
    assert (made.needed, made.minutes, made.id) == (2, 180, "s1")


def test_more_people_are_needed_where_the_work_needs_them():
    (made,) = shaped(day(181), [slot()], OPEN, ())
    assert made.needed == 3


def test_there_is_room_for_so_many_in_a_container_however_much_work_there_is():
    (made,) = shaped(day(5000), [slot()], OPEN, ())
    assert made.needed == habits()["shifts"]["most_people"]


def test_a_pattern_for_more_people_than_there_is_work_for_is_left_alone():
    (made,) = shaped(day(0), [slot(needed=5)], OPEN, ())
    assert (made.needed, made.minutes) == (5, 0)


def test_the_work_of_a_day_is_spread_over_its_shifts_and_the_smallest_grows_first():
    made = shaped(day(580), [slot(needed=1), slot(17, 20, 3, "s2")], OPEN, ())
    assert [one.needed for one in made] == [2, 3]
    assert sum(one.minutes for one in made) == 580


def test_a_day_with_work_and_no_pattern_gets_a_shift_at_the_usual_hour():
    (made,) = shaped(day(200), [], OPEN, ())
    assert (made.starts_at.time(), made.ends_at.time(), made.needed, made.id) == (time(9), time(11), 3, None)


def test_a_day_with_little_work_and_no_pattern_gets_none():
    assert not is_worth_a_shift(day(15))
    assert shaped(day(15), [], OPEN, ()) == []


@pytest.mark.parametrize(("opens", "closes", "usual"), [(8, 9, 8), (18, 20, 9), (8, 20, 20)])
def test_a_shift_of_its_own_lies_within_the_hours_of_the_farm(opens, closes, usual):
    (made,) = shaped(day(300), [], Hours(time(opens), time(closes), time(usual), CHICAGO), ())
    assert time(opens) <= made.starts_at.time() < made.ends_at.time() <= time(closes)


def test_calibrating_wants_somebody_trained_for_it_on_a_farm_that_keeps_record_of_that():
    works = DayWork(MONDAY, (Work("calibrate", 15, places=("main",)), Work("harvest", 60)))
    two = [slot(), slot(17, 19, 2, "s2")]
    assert [one.skills for one in shaped(works, two, OPEN, {"calibration"})] == [("calibration",), ()]
    assert [one.skills for one in shaped(works, two, OPEN, ())] == [(), ()]


def test_a_shift_with_nothing_but_work_for_adults_is_for_adults():
    assert shaped(day(15, "calibrate"), [slot()], OPEN, ())[0].adults
    mixed = DayWork(MONDAY, (Work("calibrate", 15), Work("harvest", 60)))
    assert not shaped(mixed, [slot()], OPEN, ())[0].adults
    assert not shaped(day(0), [slot()], OPEN, ())[0].adults


@given(st.integers(0, 3000), st.lists(st.integers(1, 5), min_size=1, max_size=3))
def test_there_are_people_enough_or_the_room_is_full_and_never_fewer_than_the_pattern(minutes, needed):
    slots = [slot(8 + 3 * at, 10 + 3 * at, people, f"s{at}") for at, people in enumerate(needed)]
    made = shaped(day(minutes), slots, OPEN, ())
    full = all(one.needed >= habits()["shifts"]["most_people"] for one in made)
    assert sum(one.carries for one in made) >= minutes or full
    assert all(one.needed >= before for one, before in zip(made, needed, strict=True))
