"""Who came and never said that they left is asked once, when it is worth asking and at an hour that is allowed."""

from datetime import timedelta

import pytest

from tests.practice_line import Line
from tests.service.ticks import local, run, to, went_at


@pytest.fixture
def line(demo_books):
    """The demo farm on a Monday at ten; nobody has a shift unless a test says so."""
    line = Line(demo_books)
    line.now = local(2026, 5, 4, 10, 0)
    return line


def asked(line, who):
    """When somebody was asked, farm-local."""
    return [went_at(one).replace(tzinfo=None) for one in to(line.books, who, kind="leaving")]


def over_night(line):
    run(line.books, line.now, line.now + timedelta(hours=40))


def test_who_came_for_no_shift_is_asked_the_next_morning_as_the_farm_closes_too_late_to_text(line):
    line.text("keisha", "im here")
    over_night(line)
    assert [(one.day, one.hour, one.minute) for one in asked(line, "keisha")] == [(5, 8, 0)]


def test_who_left_is_not_asked(line):
    line.text("keisha", "im here")
    line.now += timedelta(hours=2)
    line.text("keisha", "leaving now")
    over_night(line)
    assert asked(line, "keisha") == []


def test_who_said_how_long_they_worked_is_not_asked(line):
    line.text("keisha", "im here")
    line.now += timedelta(hours=2)
    line.text("keisha", "worked 2 hours")
    over_night(line)
    assert asked(line, "keisha") == []


def test_the_answer_is_booked_on_the_day_they_came(line):
    line.text("keisha", "im here")
    over_night(line)
    line.now = local(2026, 5, 5, 8, 20)
    reply, _ = line.text("keisha", "2 hours")
    assert reply.startswith("Noted: 2 h worked yesterday.")


def test_after_a_shift_the_question_comes_the_same_day(line):
    """Saturday's shift is from 9 to 12, and Keisha is on it."""
    line.now = local(2026, 5, 9, 8, 55)
    line.text("keisha", "im here")
    over_night(line)
    assert [(one.day, one.hour) for one in asked(line, "keisha")] == [(9, 12)]
    assert asked(line, "keisha")[0].minute in range(45, 60)


def test_the_question_fits_one_segment(line):
    line.text("mateo", "ya llegue")
    over_night(line)
    (text,) = to(line.books, "mateo", kind="leaving")
    assert "2 HORAS" in text.body
    assert len(text.body) <= 160


def test_nobody_is_asked_while_the_service_was_down_past_noon(line):
    line.text("keisha", "im here")
    run(line.books, local(2026, 5, 5, 12, 0), local(2026, 5, 5, 20, 0))
    assert asked(line, "keisha") == []
