"""How much one number, and all strangers together, can make the farm do."""

from datetime import timedelta

import pytest

from core.books.tables import Cut, Entry
from service import limits
from service.tables import Inbound
from tests.practice_line import Line, rows


@pytest.fixture
def line(demo_books):
    return Line(demo_books)


def test_a_stranger_is_answered_a_few_times_an_hour(line):
    said = (
        "hello",
        "who is this",
        "win a prize",
        "call me",
        "buy now",
        "cheap pills",
        "are you there",
        "last chance",
        "hey",
    )
    replies = [line.text("+13125550150", one)[0] for one in said]
    assert [bool(one) for one in replies] == [True] * limits.REPLIES_TO_A_STRANGER + [False] * 3
    line.now += timedelta(hours=1, minutes=1)
    assert line.text("+13125550150", "hello?")[0] != ""


def test_all_strangers_together_are_answered_so_many_times_an_hour(line, monkeypatch):
    monkeypatch.setattr(limits, "REPLIES_TO_STRANGERS", 5)
    replies = [line.text(f"+131255501{n:02}", "win a prize")[0] for n in range(50, 58)]
    assert [bool(one) for one in replies] == [True] * 5 + [False] * 3
    assert line.text("walt", "main ph 5.9")[0].startswith("Noted")


def test_a_number_that_sends_more_than_anybody_can_type_is_stored_but_not_read(line, monkeypatch):
    monkeypatch.setattr(limits, "TEXTS_OF_A_NUMBER", 3)
    for n in range(5):
        line.text("walt", f"picked {n + 1} mint from F{n + 1}")
        line.now += timedelta(minutes=5)
    assert len(rows(line, Inbound)) == 5
    assert len(rows(line, Cut, Cut.entry > 1, Cut.crop == "mint")) == 3
    assert [one.reading["verdict"] for one in rows(line, Inbound)][-2:] == ["flood", "flood"]
    assert line.text("bea", "main ph 5.9")[0].startswith("Noted")


def test_a_stranger_writes_nothing_into_the_journal_but_a_request_to_join(line):
    before = len(rows(line, Entry))
    for text in ("picked 14 romaine from B1", "undo", "closed on friday", "add Eve 312 555 0150", "what is in B1"):
        line.text("+13125550150", text)
    assert len(rows(line, Entry)) == before
