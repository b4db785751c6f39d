"""While a question is open: what answers it, what says something of its own, and what is put right or taken back."""

from datetime import timedelta

import pytest

from core.books.tables import Delivery, Measured
from tests.practice_line import Line, recorded


@pytest.fixture
def line(demo_books):
    return Line(demo_books)


@pytest.fixture
def asked(line):
    """Walt was asked whether ten heads from one tower of eight can be."""
    line.text("walt", "picked 30 romaine from B1")
    return line


@pytest.mark.parametrize(
    "text", ["I can come saturday 9-11", "I worked 2 hours today", "humidity 61", "what's in B7", "gloves are low"]
)
def test_what_says_something_of_its_own_is_no_answer_to_a_question(asked, text):
    reply, _ = asked.text("walt", text)
    assert "Still open: 30 romaine picked from B1. Record that? Reply OK or NO." in reply
    assert recorded(asked) == []
    asked.text("walt", "ok")
    assert [one.count for one in recorded(asked)] == [30]


def test_a_question_passed_by_twice_is_let_go_and_that_is_said(asked):
    asked.text("walt", "humidity 61")
    reply, _ = asked.text("walt", "gloves are low")
    assert reply.endswith("Left out: 30 romaine picked from B1.") or "Left out: 30 romaine picked from B1." in reply
    asked.text("walt", "ok")
    assert recorded(asked) == []


def test_a_new_doubt_takes_the_place_of_an_older_question_which_is_said_to_be_left_out(asked):
    reply, _ = asked.text("walt", "ph main 12")
    assert reply == "Left out: 30 romaine picked from B1. pH 12 is unusual. Record it anyway? Reply OK or NO."
    asked.text("walt", "ok")
    assert recorded(asked) == []
    assert [one.value for one in recorded(asked, Measured)] == [12]


def test_a_question_to_the_farm_is_not_taken_for_the_missing_crop(line):
    line.text("priya", "gave 12 lb to the kitchen")
    line.text("priya", "what is ready")
    assert recorded(line, Delivery) == []


def test_a_figure_put_right_while_its_question_is_open_mends_the_draft_and_nothing_older(line):
    line.text("walt", "gave 30 kale to the kitchen")
    line.text("walt", "ph 9.1")
    line.text("walt", "no sorry, 6.1")
    line.text("walt", "main")
    assert [one.count for one in recorded(line, Delivery)] == [30]
    assert [(one.value, one.place) for one in recorded(line, Measured)] in ([(6.1, "main")], [])


def test_a_correction_is_about_that_note_of_the_last_text_which_it_changes_least(line):
    line.text("bea", "gave the shelter 14 romaine and 6 mint")
    line.text("bea", "oops 13 romaine")
    assert {(one.crop, one.count) for one in recorded(line, Delivery)} == {("romaine", 13), ("mint", 6)}
    line.text("bea", "and 7 mint, not 6")
    assert ("romaine", 13) in {(one.crop, one.count) for one in recorded(line, Delivery)}


def test_undo_is_about_the_newest_thing_said_even_with_an_older_question_open(asked):
    asked.now += timedelta(seconds=30)
    asked.text("walt", "gloves are low")
    reply, _ = asked.text("walt", "undo")
    assert reply.startswith("Taken back: gloves: low.")


def test_a_second_undo_and_an_old_one_are_asked_about_first(line):
    line.text("walt", "ph main 6.0")
    line.now += timedelta(minutes=1)
    line.text("walt", "ph main 6.1")
    line.text("walt", "undo")
    assert "Take it back? Reply OK or NO." in line.text("walt", "undo")[0]
    line.text("walt", "no")
    assert [one.value for one in recorded(line, Measured)] == [6.0]
    line.text("walt", "undo")
    line.text("walt", "ok")
    assert recorded(line, Measured) == []
