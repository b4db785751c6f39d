"""Risky commands wait for a code that only the coordinator's own phone can read."""

from datetime import timedelta

import pytest

from core.books.tables import Announcement, ClosedDay, Person
from service.tables import OpenQuestion, Outbound, Proof
from tests.practice_line import Line, recorded, rows

TELL = "tell everyone the heater is fixed"


@pytest.fixture
def line(demo_books):
    return Line(demo_books)


def a_wrong_code(line):
    return f"{(int(line.code('priya')) + 1) % 10_000:04}"


def test_a_forged_command_reaches_nobody(line):
    """The forger can send in the coordinator's name, but the answer goes to the coordinator's phone."""
    reply, news = line.text("priya", TELL)
    assert "text back (code)" in reply
    assert news == []
    assert recorded(line, Announcement) == []
    (sent,) = [one for one in rows(line, Outbound) if "Is this you?" in one.body]
    assert sent.phone == rows(line, Person, Person.handle == "priya")[0].phone


@pytest.mark.parametrize("command", [TELL, "closed on friday", "add Rosa Delgado 312 555 0150 as volunteer"])
def test_whatever_reaches_all_or_changes_who_belongs_asks_for_a_code(line, command):
    assert "(code)" in line.text("priya", command)[0]


@pytest.mark.parametrize("answer", ["(code)", "code (code)", "it is (code)!", " (code) "])
def test_the_code_carries_the_command_out(line, answer):
    line.text("priya", TELL)
    reply, news = line.text("priya", answer)
    assert reply.startswith("Noted: told 7 people.")
    assert len(news) == 7


def test_one_code_opens_ten_minutes_of_commands_and_no_more(line):
    line.command("priya", TELL)
    line.now += timedelta(minutes=9)
    assert line.text("priya", "closed on friday")[0].startswith("Noted: closed")
    line.now += timedelta(minutes=2)
    assert "(code)" in line.text("priya", "tell everyone there is soup")[0]


def test_a_code_is_used_once(line):
    line.text("priya", TELL)
    code = line.code("priya")
    line.text("priya", code)
    line.now += timedelta(minutes=11)
    line.text("priya", "closed on friday")
    if line.code("priya") != code:
        line.text("priya", code)
    assert recorded(line, Announcement) != []
    assert rows(line, ClosedDay) == []


def test_a_code_is_bound_to_its_command(line):
    line.text("priya", TELL)
    first = line.code("priya")
    line.text("priya", "closed on friday")
    second = line.code("priya")
    line.text("priya", second)
    assert recorded(line, Announcement) == []
    assert len(rows(line, ClosedDay)) == 1
    assert first != second or line.code("priya") == ""


def test_the_same_command_again_gets_the_same_code(line):
    """A carrier may swap two texts: whichever code comes last must be right."""
    line.text("priya", TELL)
    code = line.code("priya")
    line.text("priya", TELL)
    assert line.code("priya") == code


def test_after_ten_minutes_a_code_is_late(line):
    line.text("priya", TELL)
    line.now += timedelta(minutes=10, seconds=1)
    assert line.text("priya", "(code)")[0].startswith("That code has run out.")
    assert recorded(line, Announcement) == []


def test_three_wrong_codes_close_the_door_for_an_hour(line):
    line.text("priya", TELL)
    replies = [line.text("priya", a_wrong_code(line))[0] for _ in range(3)]
    assert ["2 tries" in replies[0], "1 try" in replies[1], "Too many" in replies[2]] == [True] * 3
    assert "Too many" in line.text("priya", TELL)[0]
    assert rows(line, OpenQuestion, OpenQuestion.about == "code") == []
    line.now += timedelta(hours=1, minutes=1)
    assert "(code)" in line.text("priya", TELL)[0]


def test_saying_the_command_again_gives_no_more_tries(line):
    tries = 0
    for _ in range(5):
        if "(code)" not in line.text("priya", TELL)[0]:
            break
        line.text("priya", a_wrong_code(line))
        tries += 1
    assert tries == 3


def test_what_else_is_reported_meanwhile_is_taken_down(line):
    line.text("priya", TELL)
    reply, _ = line.text("priya", "main ph 5.9")
    assert reply.startswith("Noted: pH 5.9 in main")
    assert "Text back the code" in reply
    assert line.text("priya", "(code)")[0].startswith("Noted: told")


def test_no_drops_the_command(line):
    line.text("priya", TELL)
    assert line.text("priya", "NO")[0].startswith("Left out")
    assert recorded(line, Announcement) == []


def test_an_ok_is_no_code(line):
    line.text("priya", TELL)
    line.text("priya", "OK")
    assert recorded(line, Announcement) == []


def test_taking_back_what_reached_all_wants_a_code_too(line):
    line.command("priya", "closed on friday")
    line.now += timedelta(minutes=15)
    assert "take back: Fri May 8 closed" in line.text("priya", "undo")[0]
    assert line.text("priya", "(code)")[0].startswith("Taken back")


def test_who_may_not_say_it_is_told_so_and_gets_no_code(line):
    assert "Please ask Priya" in line.text("walt", TELL)[0]
    assert rows(line, Proof) == []


def test_four_digits_out_of_the_blue_are_no_code(line):
    assert line.text("priya", "1234")[0] != ""
    assert rows(line, Proof) == []


def test_in_spanish_it_is_the_same(line):
    with line.books.write() as session:
        session.get_one(Person, (1, rows(line, Person, Person.handle == "priya")[0].id)).language = "es"
    assert line.text("priya", "avisa a todos que ya hay agua")[0].startswith("¿Eres tu?")
    assert line.text("priya", "(code)")[0].startswith("Anotado")
