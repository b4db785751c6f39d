"""Taking consent back in other words than the carrier's: obeyed where it is clear, asked about where it is not."""

from datetime import timedelta

import pytest

from core.books.tables import Person
from tests.practice_line import Line, rows


@pytest.fixture
def line(demo_books):
    return Line(demo_books)


def muted(line, who):
    return rows(line, Person, Person.handle == who)[0].muted


@pytest.mark.parametrize(
    "said", ["stop the pump please", "please stop the pump", "stop that thing", "can you stop it leaking"]
)
def test_stopping_a_thing_of_the_farm_mutes_nobody(line, said):
    line.text("walt", said)
    assert not muted(line, "walt")


@pytest.mark.parametrize(
    "before", ["stop the pump please", "calibrate main ph", "pump is broken", "picked 4 mint from C1"]
)
@pytest.mark.parametrize("said", ["stop it", "please stop"])
def test_with_something_going_on_unclear_words_are_asked_about(line, before, said):
    line.text("walt", before)
    assert line.text("walt", said)[0].startswith("Do you mean our texts?")
    assert not muted(line, "walt")


def test_said_once_more_they_hold(line):
    line.text("bea", "picked 4 mint from C1")
    line.text("bea", "stop it")
    assert "no more texts" in line.text("bea", "stop it")[0]
    assert muted(line, "bea")


def test_out_of_the_blue_they_are_obeyed(line):
    line.text("bea", "picked 4 mint from C1")
    line.now += timedelta(hours=3)
    line.text("bea", "stop it")
    assert muted(line, "bea")


@pytest.mark.parametrize("said", ["STOP", "stop texting me", "no me mandes mas mensajes"])
def test_a_clear_one_is_obeyed_whatever_goes_on_and_the_coordinator_hears_of_a_lead(line, said):
    line.text("walt", "calibrate main ph")
    _, news = line.text("walt", said)
    assert muted(line, "walt")
    assert [who for who, _ in news] == ["priya"]
    assert "Walt gets no more texts" in news[0][1]


def test_nobody_is_told_of_a_volunteer_who_mutes(line):
    assert line.text("keisha", "STOP")[1] == []


def test_who_has_said_stop_gets_no_answer_to_a_greeting(line):
    line.text("bea", "STOP")
    assert line.text("bea", "hi")[0] == ""
    line.text("bea", "START")
    assert line.text("bea", "hi")[0].startswith("Hi Bea!")
