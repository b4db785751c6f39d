"""The farm learns what its crew calls things, and an alias never changes how anything else is read."""

from pathlib import Path

import pytest
from sqlmodel import select

from core.books.ledger import Ledger
from core.books.tables import Cut
from core.books.vocabulary import vocabulary
from service.understanding import understand
from service.understanding.lines import read_lines
from tests.demo_farm import FARM, NOW
from tests.practice_line import Line

LABELLED = Path(__file__).parents[2] / "fixtures" / "messages" / "labelled.jsonl"


@pytest.fixture
def line(demo_books):
    return Line(demo_books)


def cuts(line):
    with line.books.read() as session:
        return [(one.crop, one.count) for one in session.exec(select(Cut).where(Cut.entry > 1))]


def test_a_nickname_taught_by_the_coordinator_is_read_from_then_on(line):
    assert "Nothing recorded" in line.text("june", "picked 12 from the jungle")[0] or not cuts(line)
    reply, _ = line.text("priya", "the jungle means mint")
    assert reply.startswith("Noted: the jungle now means mint.")
    line.text("june", "cut 12 bunches of the jungle")
    assert cuts(line)[-1] == ("mint", 12)


def test_a_nickname_can_be_dropped_or_taken_back(line):
    line.text("priya", "the jungle means mint")
    assert "means nothing special" in line.text("priya", "forget the name the jungle")[0]
    with line.books.read() as session:
        assert not any("the jungle" in ways for ways in vocabulary(session, FARM).crops["mint"].names.values())
        assert Ledger(session, FARM).differences() == []


def test_a_volunteer_cannot_teach(line):
    line.text("june", "the jungle means mint")
    with line.books.read() as session:
        assert not any("the jungle" in ways for ways in vocabulary(session, FARM).crops["mint"].names.values())


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("thursday means mint", "will not do as a name"),
        ("romaine means mint", "will not do as a name"),
        ("b7 7 means mint", "will not do as a name"),
    ],
)
def test_a_name_that_means_something_already_is_refused(line, text, said):
    assert said in line.text("priya", text)[0]


def test_an_alias_changes_no_reading_of_the_labelled_messages(line):
    """None of them holds the phrase, so each must be read as before."""
    labelled_lines = LABELLED.read_text("utf-8").splitlines()
    with line.books.read() as session:
        before = list(read_lines(labelled_lines, vocabulary(session, FARM)))
    for nickname in ("the jungle means mint", "snowcaps means pak choi", "el monte means kale"):
        assert line.text("priya", nickname)[0].startswith("Noted:")
    with line.books.read() as session:
        words = vocabulary(session, FARM)
    assert list(read_lines(labelled_lines, words)) == before
    assert understand("12 snowcaps", sent=NOW, sender="walt", vocabulary=words).notes[0].crop == "pak_choi"
