"""Texts that come in late, or one before the other: read and booked by the time they were sent.

The farm is the demo's on Monday, May 4 2026. Each text is sent at one time and comes in at another.
"""

from datetime import date, timedelta

import pytest
from sqlmodel import select

from core.books.ledger import Ledger
from core.books.tables import Entry, Farm, Measured, Person, Shift, ShiftPlace
from service import inbox
from service.carriers import TextIn
from service.conversation import Conversation
from service.tables import Outbound
from tests.demo_farm import CHICAGO, FARM, person_id
from tests.service.ticks import local


class Line:
    """Texts to the farm and its replies; afterwards the books agree with the journal."""

    def __init__(self, books):
        self.books, self.conversation, self.number = books, Conversation(), 0

    def text(self, who, body, sent, arrives=None):
        """The reply to a text that was sent at a time and comes in at another; None where there is none."""
        self.number += 1
        arrives = arrives or sent
        with self.books.write() as session:
            farm = session.get_one(Farm, FARM)
            phone = session.get_one(Person, (FARM, person_id(session, who))).phone
            text = TextIn("twilio", f"SM{self.number}", farm.phone, phone, body, sent_at=sent)
            stored, _ = inbox.receive(session, farm, text, arrives)
        inbox.finish(self.books, FARM, stored.id, self.conversation, arrives)
        with self.books.read() as session:
            assert Ledger(session, FARM).differences() == []
            return session.exec(select(Outbound.body).where(Outbound.key == f"reply:{stored.id}")).first()

    def all_of(self, table):
        with self.books.read() as session:
            return [row for row in session.exec(select(table)) if getattr(row, "entry", 2) > 1]


@pytest.fixture
def line(demo_books):
    return Line(demo_books)


SENT, LATER, LATE = local(2026, 5, 4, 8, 10), local(2026, 5, 4, 9, 0), local(2026, 5, 4, 10, 0)


def test_an_answer_that_came_in_late_gives_way_to_the_newer_one(line):
    line.text("dolores", "I can come saturday", LATER)
    told = line.text("dolores", "cant make it saturday", SENT, LATE)
    assert "came in late" in told or "Noted" in told
    assert coming(line, "dolores")


def coming(line, who):
    with line.books.read() as session:
        one = person_id(session, who)
        answers = {place.shift: place.answer for place in session.exec(select(ShiftPlace)) if place.person_id == one}
    return all(answer != "no" for answer in answers.values())


def test_in_the_order_sent_the_last_word_counts_as_ever(line):
    line.text("dolores", "I can come saturday", SENT)
    line.text("dolores", "cant make it saturday", LATER)
    assert not coming(line, "dolores")


def test_a_late_answer_counts_where_nothing_newer_was_said(line):
    line.text("dolores", "cant make it saturday", SENT, LATE)
    assert not coming(line, "dolores")


def test_a_newer_answer_that_was_taken_back_is_none(line):
    line.text("dolores", "cant make it saturday", LATER)
    line.text("dolores", "undo", LATER + timedelta(minutes=1))
    line.text("dolores", "cant make it saturday", SENT, LATE)
    assert not coming(line, "dolores")


def test_tomorrow_is_the_day_after_it_was_sent(line):
    """Sent before midnight, in after it."""
    line.text("bea", "cant come tomorrow", local(2026, 5, 4, 23, 50), local(2026, 5, 5, 0, 30))
    with line.books.read() as session:
        given_up = [place.shift for place in session.exec(select(ShiftPlace)) if place.answer == "no"]
        days = [session.get_one(Shift, (FARM, shift)).starts_at.astimezone(CHICAGO).date() for shift in given_up]
        mine = session.exec(select(ShiftPlace).where(ShiftPlace.person_id == person_id(session, "bea"))).all()
    assert date(2026, 5, 5) in days
    assert [place.answer for place in mine].count("no") == 1


def test_a_reading_stands_at_the_time_it_was_sent(line):
    line.text("bea", "ph main is 6.1", LATER)
    line.text("bea", "ph main is 5.8", SENT, LATE)
    assert [(one.value, one.at) for one in line.all_of(Measured)] == [(6.1, LATER), (5.8, SENT)]
    assert "6.1" in line.text("walt", "what is the ph in main", LATE)


def test_undo_that_came_in_late_takes_back_what_was_said_before_it(line):
    line.text("bea", "ph main is 6.1", SENT)
    line.text("bea", "ec main is 1.8", LATER)
    assert "6.1" in line.text("bea", "undo", SENT + timedelta(minutes=5), LATE)
    with line.books.read() as session:
        taken = session.exec(select(Entry.reverses).where(Entry.reverses.is_not(None))).all()
        assert len(taken) == 1
    assert [one.measure for one in line.all_of(Measured)] == ["ec"]


def test_a_word_sent_before_a_question_is_no_answer_to_it(line):
    """OK, sent at ten past eight, does not confirm what was asked at nine."""
    asked = line.text("bea", "ph main is 12", LATER)
    assert "OK" in asked
    line.text("bea", "ok", SENT, LATE)
    assert line.all_of(Measured) == []
    line.text("bea", "ok", LATE + timedelta(minutes=1))
    assert [one.value for one in line.all_of(Measured)] == [12]


def test_a_report_sent_before_a_question_is_booked_and_the_question_stays(line):
    line.text("bea", "ph is 5.9", LATER)
    said = line.text("bea", "ec main is 1.8", SENT, LATE)
    assert "1.8" in said
    line.text("bea", "main", LATE + timedelta(minutes=1))
    assert sorted(one.measure for one in line.all_of(Measured)) == ["ec", "ph"]


def test_two_texts_that_swapped_on_the_way_are_booked_each_at_its_time(line):
    line.text("walt", "picked 14 romaine from B1 and B2", LATER)
    line.text("walt", "ph main is 5.8", SENT, LATE)
    with line.books.read() as session:
        said = {entry.act: entry.said_at for entry in session.exec(select(Entry)) if entry.source}
    assert (said["harvest"], said["reading"]) == (LATER, SENT)
