"""Leads speak for anybody, guardians for the time of their minors; what is said is booked as theirs, undone by the sender."""

from datetime import datetime

import pytest
from sqlmodel import select

from core.books.ledger import Ledger
from core.books.tables import Availability, Entry, Person, ShiftPlace, Visit, WorkedHours
from tests.demo_farm import CHICAGO, FARM
from tests.practice_line import Line, recorded, rows


@pytest.fixture
def line(demo_books):
    line = Line(demo_books)
    line.now = datetime(2026, 5, 6, 10, tzinfo=CHICAGO)  # a Wednesday
    return line


def number(line, handle):
    with line.books.read() as session:
        return session.exec(select(Person.id).where(Person.handle == handle)).one()


def answers(line, handle):
    places = rows(line, ShiftPlace, ShiftPlace.person_id == number(line, handle))
    return {one.shift: one.answer for one in places}


def differences(line):
    with line.books.read() as session:
        return list(Ledger(session, FARM).differences())


def test_what_june_picked_is_booked_as_hers_and_kept_as_said_by_the_lead(line):
    reply, _ = line.text("walt", "june picked 12 mint from F1")
    assert reply.startswith("Noted for June: 12 bunches mint picked from F1.")
    assert [one.person_id for one in recorded(line)] == [number(line, "june")]
    entry = rows(line, Entry, Entry.act == "harvest")[-1]
    assert (entry.person_id, entry.for_id) == (number(line, "walt"), number(line, "june"))
    assert differences(line) == []


def test_in_spanish_it_is_said_in_spanish(line):
    assert line.text("tomas", "june cosecho 12 mentas de F1")[0].startswith("Anotado para June: 12 manojos de menta")


def test_the_sender_takes_it_back_and_puts_it_right(line):
    line.text("walt", "june picked 12 mint from F1")
    assert line.text("walt", "no, 11")[0].startswith("Noted for June: changed to 11 bunches mint")
    assert [(one.count, one.person_id) for one in recorded(line)] == [(11, number(line, "june"))]
    assert line.text("june", "undo")[0] == line.text("bea", "undo")[0]
    assert line.text("walt", "undo")[0].startswith("Taken back: 11 bunches mint")
    assert (recorded(line), differences(line)) == ([], [])


def test_whose_it_is_outlives_the_question_for_what_was_missing_and_the_doubt(line):
    assert line.text("walt", "june picked some mint from F1")[0] == "How many bunches of mint did June pick?"
    assert line.text("walt", "9")[0].startswith("Noted for June: 9 bunches mint")
    assert "Record it anyway?" in line.text("walt", "june picked 6 kale from A1")[0]
    assert line.text("walt", "ok")[0].startswith("Noted for June: 6 bunches kale")
    assert {one.person_id for one in recorded(line)} == {number(line, "june")}


def test_a_cut_told_by_the_lead_and_by_the_picker_is_asked_about(line):
    line.text("walt", "june picked 12 mint from F1")
    assert line.text("june", "12 mint from F1")[0].startswith("Walt reported 12 bunches mint from F1")


def test_what_a_volunteer_tells_of_anothers_picking_is_their_own_report(line):
    assert line.text("keisha", "june picked 12 mint from F1")[0].startswith("Noted: 12 bunches mint")
    assert [one.person_id for one in recorded(line)] == [number(line, "keisha")]


@pytest.mark.parametrize("who", ["walt", "dolores"])  # a lead, and her guardian
def test_a_no_for_june_gives_up_her_place_and_not_the_senders(line, who):
    before, hers = answers(line, who), answers(line, "june")
    reply, _ = line.text(who, "june cant come thursday")
    assert reply.startswith("Noted for June: cannot come tomorrow 4-6pm.")
    assert answers(line, who) == before
    given_up = [shift for shift, answer in answers(line, "june").items() if answer == "no" != hers[shift]]
    assert len(given_up) == 1
    assert line.text(who, "undo")[0].startswith("Taken back:")
    assert (answers(line, "june"), differences(line)) == (hers, [])


@pytest.mark.parametrize(
    "text", ["june cant come thursday", "june worked 2 hours", "june is here", "june is free sunday"]
)
def test_a_volunteer_may_not_speak_for_anothers_time(line, text):
    before = len(rows(line, Entry))
    assert line.text("keisha", text)[0].startswith("Only a lead or the coordinator can do that")
    assert len(rows(line, Entry)) == before


def test_her_coming_leaving_hours_and_free_time_are_booked_as_hers(line):
    june = number(line, "june")
    for text in ("june is here", "june left at 11", "june worked 2 hours", "june is free sunday 9-11"):
        assert line.text("walt", text)[0].startswith("Noted for June: ")
        line.now = line.now.replace(hour=12)
    assert [(one.kind, one.person_id) for one in recorded(line, Visit)] == [("arrive", june), ("leave", june)]
    assert [(one.minutes, one.person_id) for one in recorded(line, WorkedHours)] == [(60, june), (120, june)]
    assert [one.person_id for one in recorded(line, Availability)] == [june]
    assert differences(line) == []


def test_her_lateness_is_told_to_those_on_shift_in_her_name(line):
    _, news = line.text("walt", "june will be 10 min late thursday")
    assert ("priya", "June will be late 10 min Thu May 7 4-6pm.") in [
        (who, text.replace("tomorrow", "Thu May 7")) for who, text in news
    ]


def test_the_shift_asked_for_is_one_of_hers(line):
    line.text("walt", "june cant come thursday")
    line.text("walt", "undo")
    before = answers(line, "walt")
    assert line.text("walt", "june is sick")[0].startswith("Which shift of June")
    assert line.text("walt", "thursday")[0].startswith("Noted for June: cannot come")
    assert answers(line, "walt") == before


def test_a_guardian_who_is_not_of_the_crew_says_when_their_minor_comes_and_takes_it_back(line):
    with line.books.write() as session:
        guardian = session.exec(select(Person).where(Person.handle == "dolores")).one()
        guardian.role, guardian.state = "guardian", "guardian"
    hers = answers(line, "june")
    assert line.text("dolores", "june cant come thursday")[0].startswith("Noted for June: cannot come tomorrow")
    assert line.text("dolores", "undo")[0].startswith("Taken back:")
    assert answers(line, "june") == hers
    before = len(rows(line, Entry))
    for text in ("arlo cant come thursday", "june picked 12 mint from F1", "picked 12 mint from F1"):
        line.text("dolores", text)
    assert len(rows(line, Entry)) == before
