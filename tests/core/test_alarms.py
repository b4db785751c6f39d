"""When a measure is a trouble, when it is over, and who is told in which order."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.alarms import InCharge, Seen, chain, is_over, next_change, pace, rules, trouble, well_inside
from core.notes import MEASURES
from core.readings import Range

NOW = datetime(2026, 5, 4, 14, tzinfo=UTC)
PH = Range(5.6, 6.2)


def minutes(n):
    return timedelta(minutes=n)


def seen(level, off_for=None, *, equipment=True, newest=NOW, **more):
    since = None if off_for is None else NOW - minutes(off_for)
    return Seen(newest=newest, by_equipment=equipment, level=level, off_since=since, **more)


def test_every_measure_has_its_rule():
    assert set(rules()) == set(MEASURES)
    assert all(one.act <= one.act_hand for one in rules().values())


def test_equipment_may_read_off_for_its_time_to_act():
    assert trouble("ph", seen(6.5, 29), PH, NOW) is None
    found = trouble("ph", seen(6.5, 30), PH, NOW)
    assert (found.kind, found.value, found.urgent, found.since) == ("high", 6.5, False, NOW - minutes(30))


def test_who_measured_by_hand_has_longer_for_they_were_told_what_to_do():
    assert trouble("ph", seen(5.2, 119, equipment=False), PH, NOW) is None
    assert trouble("ph", seen(5.2, 120, equipment=False), PH, NOW).kind == "low"


def test_a_value_within_its_range_is_no_trouble_however_long_ago_it_was_off():
    assert trouble("ph", seen(6.0, 500), PH, NOW) is None


@pytest.mark.parametrize(("measure", "level"), [("co2", 6000), ("oxygen", 3), ("air_temp", 40), ("level", 5)])
def test_what_cannot_wait_is_urgent_at_once_where_a_person_read_it(measure, level):
    wanted = {"co2": Range(390, 1500), "oxygen": Range(5, 20), "air_temp": Range(17, 24), "level": Range(50, 100)}[
        measure
    ]
    found = trouble(measure, seen(level, 0, equipment=False), wanted, NOW)
    assert found.urgent
    assert trouble(measure, seen(level, 4), wanted, NOW) is None
    assert trouble(measure, seen(level, 5), wanted, NOW).urgent


def test_an_alarm_is_over_only_well_inside_the_range():
    high = {"kind": "high", "since": NOW - minutes(60), "measure": "ph", "wanted": PH}
    assert not is_over(seen=seen(6.15), **high)
    assert is_over(seen=seen(6.1), **high)


@given(st.sampled_from(MEASURES), st.floats(0, 100), st.floats(0, 100), st.floats(-10, 110))
def test_what_is_well_inside_is_never_a_trouble(measure, one, other, level):
    wanted = Range(*sorted((one, other)))
    if level in well_inside(measure, wanted):
        assert level in wanted
        assert trouble(measure, seen(level, 10_000), wanted, NOW) is None


def test_equipment_that_falls_silent_is_a_trouble_by_its_own_pace():
    late = NOW - timedelta(hours=3)
    assert trouble("ph", seen(6.0, newest=late + minutes(1)), PH, NOW) is None
    assert trouble("ph", seen(6.0, newest=late), PH, NOW).kind == "missing"
    daily = seen(6.0, newest=late, usual_gap=timedelta(hours=24))
    assert trouble("ph", daily, PH, NOW) is None


def test_what_people_measure_by_habit_is_missed_after_days_and_nothing_else():
    gone = NOW - timedelta(days=3)
    assert trouble("ph", seen(6.0, equipment=False, newest=gone, habitual=True), PH, NOW).kind == "missing"
    assert trouble("ph", seen(6.0, equipment=False, newest=gone), PH, NOW) is None
    assert trouble("humidity", seen(60, equipment=False, newest=gone, habitual=True), Range(50, 70), NOW) is None


def test_a_missing_reading_is_over_with_the_next_one():
    since = NOW - timedelta(hours=5)
    assert not is_over("missing", since, "ph", seen(9.0, newest=since), PH)
    assert is_over("missing", since, "ph", seen(9.0, newest=since + minutes(1)), PH)


def test_the_very_same_value_for_too_long_is_a_stuck_probe():
    assert trouble("ph", seen(6.0, same_since=NOW - timedelta(hours=23)), PH, NOW) is None
    assert trouble("ph", seen(6.0, same_since=NOW - timedelta(hours=24)), PH, NOW).kind == "stuck"
    assert trouble("level", seen(80, same_since=NOW - timedelta(days=9)), Range(50, 100), NOW) is None


def test_it_is_known_when_something_will_be_a_trouble():
    assert next_change("ph", seen(6.5, 10), PH, NOW) == NOW + minutes(20)
    assert next_change("ph", seen(6.0), PH, NOW) == NOW + timedelta(hours=3)
    assert next_change("ph", seen(6.0, equipment=False), PH, NOW) is None


@given(st.floats(4, 8), st.integers(0, 200), st.booleans())
def test_nothing_becomes_a_trouble_before_the_moment_it_was_said_to(level, off_for, equipment):
    was = seen(level, off_for, equipment=equipment)
    then = next_change("ph", was, PH, NOW)
    if then is not None and trouble("ph", was, PH, NOW) is None:
        assert trouble("ph", was, PH, then - timedelta(seconds=1)) is None
        assert trouble("ph", was, PH, then) is not None


def test_who_is_on_shift_is_told_first_then_leads_then_coordinators_and_nobody_under_age():
    crew = [
        InCharge(1, "coordinator", True, False),
        InCharge(2, "lead", True, False),
        InCharge(3, "volunteer", False, True),
        InCharge(4, "volunteer", True, True),
        InCharge(5, "volunteer", True, True),
        InCharge(6, "lead", True, False),
    ]
    assert chain(crew) == [4, 2, 6, 1]
    assert chain([*crew, InCharge(7, "lead", True, True)]) == [7, 2, 6, 1]
    assert chain([]) == []


def test_what_cannot_wait_is_passed_on_faster():
    assert pace(urgent=True).next_after < pace(urgent=False).next_after
