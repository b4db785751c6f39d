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


@pytest.mark.parametrize("text", ["20 min on 1", "B7 looks nice", "picked 30 romaine from B1", "cut D5-D8 again 3 lbs"])
def test_neither_talk_nor_the_same_words_again_confirm_what_was_doubted(asked, text):
    asked.text("walt", text)
    assert recorded(asked) == []


@pytest.mark.parametrize(
    ("text", "count", "places"),
    [
        ("14 from B1 and B2", 14, ["B1", "B2"]),
        ("no, 14 romaine from B1 and B2", 14, ["B1", "B2"]),
        ("8", 8, ["B1"]),
    ],
)
def test_another_figure_or_place_mends_what_was_doubted(asked, text, count, places):
    asked.text("walt", text)
    assert [(one.count, one.places) for one in recorded(asked)] == [(count, places)]


def test_places_alone_mend_what_was_doubted_and_it_is_judged_anew(asked):
    reply, _ = asked.text("walt", "B1 and B2")
    assert reply.startswith("30 romaine is more than the books have in B1, B2")
    assert recorded(asked) == []


def test_a_yes_with_the_whole_report_said_again_confirms_it(asked):
    asked.text("walt", "yes, picked 30 romaine from B1")
    assert [one.count for one in recorded(asked)] == [30]


def test_a_doubted_move_goes_where_it_is_said_to_go_instead(line):
    line.text("june", "moved half a tray of butterhead to A21-A23")
    reply, _ = line.text("june", "half a tray to A1-A3")
    assert reply == "The books still have butterhead in A1-A3. Record it anyway? Reply OK or NO."


def test_a_crop_told_with_the_weight_once_more_completes_the_cut(line):
    reply, _ = line.text("june", "cut D5 thru D8 again 3 lbs")
    assert reply == "Which crop, for picked from D5-D8?"
    line.text("june", "3 lb of kale")
    assert [(one.crop, one.places) for one in recorded(line)] == [("kale", ["D5", "D6", "D7", "D8"])]


def test_an_open_question_takes_nothing_from_a_text_about_another_thing(line):
    assert line.text("june", "sowed a tray of basil")[0] == "Which crop, for 1 tray sown?"
    reply, _ = line.text("june", "we have a new packet of kale seed, 500 seeds, lot K12")
    assert "kale sown" not in reply


def test_an_incomplete_reading_takes_the_place_of_another_which_is_said_to_be_left_out(line):
    line.text("june", "main water temp 21")
    reply, _ = line.text("june", "ph 59 main")
    assert reply.startswith("Left out: water main. ")
    assert recorded(line, Measured) == []


def test_afternoons_that_somebody_can_come_are_no_lateness(line):
    line.text("mateo", "llego tarde")
    reply, news = line.text("mateo", "puedo los martes por la tarde")
    assert reply.startswith("Anotado: puedes venir cada mar 12-5pm.")
    assert news == []
