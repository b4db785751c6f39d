"""The hours of minors, against the hours standards for paid work of minors of 14 and 15 years.

Source: Code of Federal Regulations, title 29, section 570.35(a). Volunteers are not employees: it is carried over as a
caution, and the rules for school days are used on every day.
"""

from datetime import datetime, time

import pytest

from core.shifts.habits import in_school_hours, limits
from tests.demo_farm import CHICAGO

SCHOOL_DAY_HOURS, SCHOOL_WEEK_HOURS = 3, 18  # (a)(5), (a)(3)
EARLIEST, LATEST = time(7), time(19)  # (a)(6), outside the summer


@pytest.mark.parametrize("age", ["minor", "unknown", "guardian"])
def test_a_minor_is_given_no_more_hours_than_the_standard_allows_when_school_is_in_session(age):
    most = limits(age)
    assert most.day_min <= SCHOOL_DAY_HOURS * 60
    assert most.week_min <= SCHOOL_WEEK_HOURS * 60


@pytest.mark.parametrize(
    ("start", "end", "may"),
    [
        (EARLIEST, LATEST, True),
        (time(6, 59), time(9), False),
        (time(17), time(19, 1), False),
        (time(17), time(19), True),
    ],
)
def test_a_minor_is_there_between_seven_and_seven(start, end, may):
    assert limits("minor").allow(start, end) is may
    assert limits("adult").allow(start, end)


@pytest.mark.parametrize(
    ("day", "start", "end", "school"),
    [
        (11, 8, 10, True),  # a Monday
        (11, 14, 16, True),
        (11, 15, 17, False),
        (15, 9, 11, True),  # a Friday: "including Fridays"
        (16, 9, 11, False),
    ],
)
def test_a_minor_is_not_asked_to_come_in_school_hours(day, start, end, school):
    """(a)(1): outside of school hours; the hours of a school day are our own, from memory."""
    starts_at, ends_at = (datetime(2026, 5, day, hour, tzinfo=CHICAGO) for hour in (start, end))
    assert in_school_hours(starts_at, ends_at) is school
