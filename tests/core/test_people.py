"""How long trainings hold, and when people are asked when they can come."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.people import asked_about, holds_until, is_paused, reminder_may_be, skills


def test_the_trainings_of_a_farm_are_kept_in_data():
    assert {"calibration", "acids", "ladder", "food"} == set(skills())


def test_what_can_hurt_is_never_signed_off_for_a_minor():
    assert {name for name, one in skills().items() if one.adults} >= {"acids", "ladder"}


def test_a_training_on_acids_holds_for_a_year():
    assert holds_until("acids", date(2026, 5, 4)) == date(2027, 5, 4)


def test_a_day_that_the_month_has_not_is_its_last():
    assert holds_until("acids", date(2028, 2, 29)) == date(2029, 2, 28)


def test_a_training_nobody_knows_is_an_error():
    with pytest.raises(KeyError):
        holds_until("juggling", date(2026, 5, 4))


@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)), st.sampled_from(sorted(skills())))
def test_every_sign_off_ends_as_many_months_later_as_its_training_holds(day, skill):
    until = holds_until(skill, day)
    assert (until.year - day.year) * 12 + until.month - day.month == skills()[skill].months
    assert until.day == day.day or (until.day < day.day and until.day >= 28)


def test_on_thursday_the_coming_week_is_asked_about_and_on_no_other_day():
    assert asked_about(date(2026, 5, 7)) == (date(2026, 5, 11), date(2026, 5, 17))
    assert [day for day in range(4, 11) if asked_about(date(2026, 5, day))] == [7]


def test_a_pause_ends_on_the_day_said_and_without_one_when_they_say_so():
    back = date(2026, 6, 1)
    assert is_paused(True, back, date(2026, 5, 31))
    assert not is_paused(True, back, back)
    assert is_paused(True, None, date(2030, 1, 1))
    assert not is_paused(False, None, back)


def test_reminders_can_be_chosen_within_a_day_of_the_shift():
    assert [reminder_may_be(one) for one in (14, 15, 180, 720, 721)] == [False, True, True, True, False]
