"""Farm-local days and hours as instants, against the IANA time zones as zoneinfo has them."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.calendar import asked_days, bounds, instant, local_day, period_days, week, weekday
from core.notes import PERIODS, Ask

CHICAGO = ZoneInfo("America/Chicago")
ZONES = ["America/Chicago", "America/Santiago", "Australia/Lord_Howe", "Africa/Cairo", "Asia/Kathmandu", "UTC"]
DAYS = st.dates(date(2020, 1, 1), date(2037, 12, 31))


@pytest.mark.parametrize(("day", "hours"), [(date(2026, 3, 8), 23), (date(2026, 11, 1), 25), (date(2026, 5, 4), 24)])
def test_a_day_has_as_many_hours_as_the_clocks_give_it(day, hours):
    """US clocks: forward on 8 March 2026, back on 1 November (IANA tzdata, northamerica)."""
    start, end = bounds(day, day, CHICAGO)
    assert end - start == timedelta(hours=hours)


def test_an_hour_that_comes_twice_is_the_first_of_the_two():
    assert instant(date(2026, 11, 1), time(1, 30), CHICAGO) == datetime(2026, 11, 1, 6, 30, tzinfo=UTC)


def test_an_hour_that_is_skipped_is_read_by_the_clock_before_the_change():
    skipped = instant(date(2026, 3, 8), time(2, 30), CHICAGO)
    assert skipped == datetime(2026, 3, 8, 8, 30, tzinfo=UTC)
    assert skipped.astimezone(CHICAGO).time() == time(3, 30)


@given(st.sampled_from(ZONES), DAYS)
def test_days_follow_each_other_without_gap_or_overlap(name, day):
    zone = ZoneInfo(name)
    assert bounds(day, day, zone)[1] == bounds(day + timedelta(days=1), day + timedelta(days=1), zone)[0]


@given(st.sampled_from(ZONES), DAYS, st.times())
def test_every_moment_is_within_its_own_local_day(name, day, hour):
    zone = ZoneInfo(name)
    moment = datetime.combine(day, hour, tzinfo=UTC)
    start, end = bounds(local_day(moment, zone), local_day(moment, zone), zone)
    assert start <= moment < end


@pytest.mark.parametrize(
    ("period", "first", "last"),
    [
        ("today", date(2026, 5, 6), date(2026, 5, 6)),
        ("tomorrow", date(2026, 5, 7), date(2026, 5, 7)),
        ("week", date(2026, 5, 4), date(2026, 5, 10)),
        ("last_week", date(2026, 4, 27), date(2026, 5, 3)),
        ("month", date(2026, 5, 1), date(2026, 5, 31)),
        ("season", date(2026, 1, 1), date(2026, 5, 6)),
    ],
)
def test_a_period_is_counted_from_the_day_it_is_asked_on(period, first, last):
    days = period_days(period, date(2026, 5, 6))
    assert (days.first, days.last) == (first, last)


@given(st.sampled_from(PERIODS), DAYS)
def test_no_period_ends_before_it_begins(period, today):
    days = period_days(period, today)
    assert days.first <= days.last


def test_a_date_goes_before_a_period_and_that_before_the_default():
    today = date(2026, 5, 6)
    assert asked_days(Ask(date=date(2026, 4, 1), period="week"), today, "month").first == date(2026, 4, 1)
    assert asked_days(Ask(period="week"), today, "month").name == "week"
    assert asked_days(Ask(), today, "month").name == "month"


@given(DAYS)
def test_a_week_runs_from_monday_to_sunday(day):
    monday, sunday = week(day)
    assert (weekday(monday), weekday(sunday)) == ("mon", "sun")
    assert monday <= day <= sunday
