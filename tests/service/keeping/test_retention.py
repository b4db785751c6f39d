"""The words of texts are kept for a time; what was recorded from them stays."""

from datetime import timedelta

import pytest
from sqlmodel import select

from core.books.ledger import Ledger
from core.books.tables import Cut
from service.keeping.retention import forget_words
from service.tables import Inbound, Outbound
from tests.demo_farm import FARM
from tests.practice_line import Line


@pytest.fixture
def line(demo_books):
    line = Line(demo_books)
    line.text("walt", "picked 14 romaine from B1 and B2")
    with demo_books.write() as session:
        session.exec(select(Outbound)).one().state = "delivered"
    line.now += timedelta(days=40)
    line.text("walt", "main ph 5.9")
    return line


def forget(line, days):
    with line.books.write() as session:
        return forget_words(session, FARM, line.now, days)


def bodies(line):
    with line.books.read() as session:
        return [one.body for table in (Inbound, Outbound) for one in session.exec(select(table))]


def test_old_words_go_and_new_ones_stay(line):
    assert forget(line, 30) == 2
    assert [bool(body) for body in bodies(line)] == [False, True, False, True]
    assert forget(line, 30) == 0


def test_the_harvest_they_told_of_stays_and_the_books_verify(line):
    forget(line, 30)
    with line.books.read() as session:
        assert session.exec(select(Cut.count).where(Cut.crop == "romaine").order_by(Cut.entry.desc())).first() == 14
        assert Ledger(session, FARM).differences() == []


def test_what_was_understood_of_an_old_text_goes_with_its_words(line):
    forget(line, 30)
    with line.books.read() as session:
        assert [one.reading is None for one in session.exec(select(Inbound).order_by(Inbound.sent_at))] == [True, False]


def test_without_a_limit_everything_is_kept(line):
    assert forget(line, 0) == 0
    assert all(bodies(line))


def test_a_text_that_still_waits_to_be_sent_keeps_its_words(line):
    with line.books.write() as session:
        session.exec(select(Outbound).order_by(Outbound.id)).first().state = "waiting"
    assert forget(line, 30) == 1
