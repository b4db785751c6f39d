"""What is told of an earlier day is booked on it, said so, and kept through questions, corrections and undo."""

from datetime import UTC, date, datetime

import pytest

from core.books.ledger import Ledger
from core.books.tables import Batch, Calibration, Cleaning, Cut, Entry, Measured, PlantLoss, Standing
from tests.demo_farm import FARM
from tests.practice_line import Line, recorded, rows

TUESDAY = date(2026, 5, 5)
NOON = datetime(2026, 5, 5, 17, tzinfo=UTC)  # 12:00 in Chicago


@pytest.fixture
def line(demo_books):
    line = Line(demo_books)
    line.now = datetime(2026, 5, 6, 15, tzinfo=UTC)  # a Wednesday
    return line


def differences(line):
    with line.books.read() as session:
        return list(Ledger(session, FARM).differences())


def test_a_cut_of_yesterday_is_booked_on_yesterday_and_said_so(line):
    reply, _ = line.text("bea", "yesterday i picked 8 romaine from B1")
    assert reply.startswith("Noted: 8 romaine picked from B1. Booked on Tue May 5.")
    assert [(one.on, one.at) for one in recorded(line)] == [(TUESDAY, NOON)]
    assert differences(line) == []


def test_in_spanish_it_is_said_in_spanish(line):
    assert "Anotado el mar 5 may." in line.text("mateo", "ayer coseche 8 romanas de B1")[0]


def test_a_reading_a_loss_a_cleaning_and_a_calibration_are_of_the_day_said(line):
    for text in ("main ph was 6.0 yesterday", "lost 3 kale D9 yesterday", "cleaned E19 yesterday"):
        assert "Booked on Tue May 5." in line.text("bea", text)[0]
    assert "Booked on Sun May 3." in line.text("bea", "calibrated main ph 3 days ago")[0]
    assert [one.at for one in recorded(line, Measured)] == [NOON]
    assert [one.on for one in (*recorded(line, PlantLoss), *recorded(line, Cleaning))] == [TUESDAY] * 2
    assert [one.at.date() for one in recorded(line, Calibration)] == [date(2026, 5, 3)]


def test_a_batch_sown_on_sunday_is_as_old_as_that(line):
    before = {one.code for one in rows(line, Batch)}
    line.text("bea", "sowed 20 kale on sunday")
    (batch,) = (one for one in rows(line, Batch) if one.code not in before)
    assert (batch.sown_on, batch.code[:11]) == (date(2026, 5, 3), "kale-260503")
    assert rows(line, Standing, Standing.batch == batch.code)[0].since == date(2026, 5, 3)


def test_the_day_outlives_the_question_for_what_was_missing(line):
    assert "How many romaine" in line.text("bea", "picked romaine from B1 yesterday")[0]
    assert "Booked on Tue May 5." in line.text("bea", "8")[0]
    assert [one.on for one in recorded(line)] == [TUESDAY]


def test_a_correction_keeps_the_day_and_so_does_undo_the_books(line):
    line.text("bea", "picked 8 romaine from B1 yesterday")
    assert "Booked on Tue May 5." in line.text("bea", "oops 7 not 8")[0]
    assert [(one.count, one.on) for one in recorded(line)] == [(7, TUESDAY)]
    line.text("bea", "undo")
    assert recorded(line) == [] == differences(line)


def test_a_day_over_a_month_ago_is_asked_about_first(line):
    reply, _ = line.text("bea", "cleaned E19 31 days ago")
    assert reply == "Sun Apr 5 is long ago. Record it anyway? Reply OK or NO."
    assert recorded(line, Cleaning) == []
    line.text("bea", "ok")
    assert [one.on for one in recorded(line, Cleaning)] == [date(2026, 4, 5)]
    line.text("bea", "cleaned the filter 30 days ago")
    assert len(recorded(line, Cleaning)) == 2


def test_the_journal_keeps_when_it_was_said_and_when_it_was_so(line):
    line.text("bea", "main ph was 6.0 yesterday")
    (entry,) = rows(line, Entry, Entry.act == "reading")
    assert (entry.said_at, entry.happened_at) == (line.now, NOON)
    line.text("bea", "main ph 6.1")
    assert rows(line, Entry, Entry.act == "reading")[-1].happened_at is None


def test_a_later_cut_of_herbs_stays_the_last_one(line):
    herbs = [one for one in rows(line, Standing) if one.batch.startswith("mint") and one.place[1:].isdigit()]
    place = herbs[0].place
    line.text("bea", f"picked 2 bunches mint {place}")
    line.text("bea", f"picked 3 bunches mint {place} yesterday")
    stands = rows(line, Standing, Standing.place == place, Standing.plants > 0)
    assert [one.on for one in recorded(line, Cut)] == [date(2026, 5, 6), TUESDAY]
    assert {one.last_cut for one in stands} == {date(2026, 5, 6)}
