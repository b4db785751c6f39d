"""Requests to join: nobody who asked is forgotten, whatever else the coordinator texts in between."""

import pytest

from core.books.tables import Person
from tests.practice_line import Line, rows

LENA, OMAR = "+13125550190", "+13125550191"


@pytest.fixture
def line(demo_books):
    """Two strangers have asked to join."""
    line = Line(demo_books)
    line.text(LENA, "JOIN Lena Park")
    line.text(OMAR, "JOIN Omar")
    return line


def state(line, phone):
    return rows(line, Person, Person.phone == phone)[0].state


def test_the_second_request_is_told_at_once_and_asked_about_in_its_turn(demo_books):
    line = Line(demo_books)
    assert "Reply OK or NO" in line.text(LENA, "JOIN Lena Park")[1][0][1]
    told = line.text(OMAR, "JOIN Omar")[1][0][1]
    assert "Omar" in told
    assert "Reply OK or NO" not in told


def test_when_one_request_is_answered_the_next_is_asked_about(line):
    reply, _ = line.command("priya", "ok")
    assert "Lena Park is on the crew now" in reply
    assert f"Omar ({OMAR}) asks to join the crew. Reply OK or NO." in reply
    line.command("priya", "ok")
    assert (state(line, LENA), state(line, OMAR)) == ("here", "here")


def test_a_no_is_final_until_they_ask_anew(line):
    assert line.text("priya", "no")[0].startswith("OK, Lena Park is not added. Omar")
    assert state(line, LENA) == "declined"
    line.text("priya", "no")
    assert line.text("priya", "who wants to join")[0] == "Nobody is asking to join now."
    line.text(LENA, "JOIN Lena Park")
    assert state(line, LENA) == "asked to join"


@pytest.mark.parametrize("command", ["tasks", "is main ok", "main ph 6.1", "thanks", "how many hours"])
def test_a_command_in_between_drops_no_request(line, command):
    line.text("priya", command)
    line.text("priya", "ok")
    line.text("priya", "(code)")
    assert (state(line, LENA), state(line, OMAR)) == ("here", "asked to join")


def test_a_question_in_between_only_puts_the_request_off(line):
    line.text("priya", "closed on friday")
    assert f"Lena Park ({LENA}) asks to join" in line.text("priya", "(code)")[0]


def test_a_coordinator_can_ask_who_wants_to_join(line):
    assert line.text("priya", "Who wants to join?")[0].startswith("2 asking to join: Lena Park, Omar.")
    assert line.text("priya", "quien quiere unirse")[0].startswith("2 asking to join")
    assert "Lena" not in line.text("bea", "who wants to join")[0]


def test_a_request_that_another_coordinator_answered_is_no_longer_asked_about(line):
    with line.books.write() as session:
        session.get_one(Person, (1, rows(line, Person, Person.handle == "bea")[0].id)).role = "coordinator"
    line.text("bea", "hi")
    line.command("bea", "ok")
    assert state(line, LENA) == "here"
    assert f"Omar ({OMAR}) asks to join" in line.text("priya", "tasks")[0]


@pytest.mark.parametrize(
    ("said", "name"), [("my name is Lena", "Lena"), ("It's Lena Park", "Lena Park"), ("Lena", "Lena")]
)
def test_a_name_that_was_asked_for_is_the_name_alone(demo_books, said, name):
    line = Line(demo_books)
    line.text(LENA, "JOIN")
    line.text(LENA, said)
    assert rows(line, Person, Person.phone == LENA)[0].name == name


def test_an_ok_while_a_code_is_awaited_is_told_that_it_is(line):
    line.text("priya", "ok")
    assert "Text back the code I sent" in line.text("priya", "ok")[0]
