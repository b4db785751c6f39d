"""Alarms in texts: one text for one trouble, passed on while nobody answers, quiet at night, an all-clear once."""

from collections import Counter
from datetime import timedelta

import pytest
from sqlmodel import select

from core.acts.equipment import deliver
from core.books.ledger import Ledger
from core.books.tables import Alarm
from core.readings.admission import Raw
from service.clockwork import tick
from tests.demo_farm import FARM
from tests.practice_line import Line
from tests.service.ticks import change, local, place, texts, to

MINUTES = timedelta(minutes=1)
NOON, NIGHT = local(2026, 5, 4, 12), local(2026, 5, 4, 23)
"""On Monday nobody of the demo farm has a shift at noon."""


@pytest.fixture
def line(demo_books):
    return Line(demo_books)


def measured(books, at, value, measure="ph", where="main", unit="", minutes=31, every=5):
    """Equipment reads a value every five minutes for half an hour, and the farm ticks all the while."""
    for step in range(0, minutes, every):
        now = at + step * MINUTES
        with books.write() as session:
            deliver(Ledger(session, FARM), "box", [Raw(measure, value, unit, where, now)], now)
        tick(books, now, place)
    return at + (minutes - 1) * MINUTES


def ticking(books, start, end, value, **more):
    return measured(books, start, value, minutes=int((end - start) / MINUTES) + 1, **more)


def alarmed(books, who=None):
    rows = to(books, who) if who else texts(books)
    return [one for one in rows if one.key.startswith("alarm:")]


def cleared(books, who=None):
    rows = to(books, who) if who else texts(books)
    return [one for one in rows if one.key.startswith("alarm-over:")]


def test_a_measure_that_stays_off_is_told_to_one_person_once(demo_books):
    measured(demo_books, NOON, 6.7, minutes=60)
    (told,) = alarmed(demo_books)
    assert told.body.startswith("main pH 6.7 is HIGH since today 12pm (want 6.3 or less). You see to it? Text ON IT.")
    assert told.person_id == to(demo_books, "walt")[0].person_id
    assert told.created_at == NOON + 30 * MINUTES


def test_a_value_that_comes_back_in_time_is_told_to_nobody(demo_books):
    end = measured(demo_books, NOON, 6.7, minutes=21)
    measured(demo_books, end + 5 * MINUTES, 6.0, minutes=60)
    assert alarmed(demo_books) == []


def test_one_wild_figure_is_no_alarm(demo_books):
    for at in range(12):
        measured(demo_books, NOON + 10 * at * MINUTES, 9.0 if at == 5 else 6.0, minutes=6)
    assert alarmed(demo_books) == []


def test_while_nobody_answers_the_next_in_charge_is_told_and_then_it_is_over_once(demo_books):
    end = ticking(demo_books, NOON, NOON + 150 * MINUTES, 6.7)
    assert [one.created_at - NOON for one in alarmed(demo_books)] == [30 * MINUTES, 75 * MINUTES, 120 * MINUTES]
    assert [len(alarmed(demo_books, who)) for who in ("walt", "tomas", "priya", "keisha")] == [1, 1, 1, 0]
    ticking(demo_books, end + 5 * MINUTES, end + 90 * MINUTES, 6.0)
    assert [len(cleared(demo_books, who)) for who in ("walt", "tomas", "priya", "keisha")] == [1, 1, 1, 0]
    assert cleared(demo_books, "walt")[0].body == "All clear: main pH 6 is fine again."
    assert len(alarmed(demo_books)) == 3


def test_who_sees_to_it_says_so_and_nobody_else_is_told(demo_books, line):
    end = measured(demo_books, NOON, 6.7)
    line.now = end + 5 * MINUTES
    assert line.text("walt", "On it!") == ("Noted: you see to main pH. I text the all-clear. Wrong? Text UNDO.", [])
    ticking(demo_books, end + 5 * MINUTES, end + 180 * MINUTES, 6.7)
    assert len(alarmed(demo_books)) == 1


def test_one_that_was_taken_on_and_goes_on_for_hours_is_passed_on_all_the_same(demo_books, line):
    end = measured(demo_books, NOON, 6.7)
    line.now = end
    line.text("walt", "got it")
    ticking(demo_books, end + 5 * MINUTES, end + 24 * 60 * MINUTES, 6.7, every=30)
    assert [len(alarmed(demo_books, who)) for who in ("walt", "tomas", "priya")] == [1, 1, 1]
    assert alarmed(demo_books)[1].created_at >= end + timedelta(hours=8)


def test_quiet_keeps_it_from_others_for_as_long_as_was_said(demo_books, line):
    end = measured(demo_books, NOON, 6.7)
    line.now = end
    assert line.text("walt", "quiet 2 hours")[0].startswith("Noted: nobody else is told of main pH until today 2:30pm")
    ticking(demo_books, end + 5 * MINUTES, end + 110 * MINUTES, 6.7)
    assert len(alarmed(demo_books)) == 1
    ticking(demo_books, end + 115 * MINUTES, end + 130 * MINUTES, 6.7)
    assert len(alarmed(demo_books)) == 2


@pytest.mark.parametrize(
    ("who", "said", "answer"),
    [
        ("walt", "quiet 3 days", "nothing"),
        ("walt", "quiet 48 h", "I can keep quiet for 24 hours at most"),
        ("keisha", "quiet 2 hours", "No alarm is open with you."),
        ("mateo", "callate 2 horas", "No hay ninguna alarma abierta para ti."),
    ],
)
def test_quiet_that_cannot_be_is_answered(demo_books, line, who, said, answer):
    line.now = measured(demo_books, NOON, 6.7)
    reply, _ = line.text(who, said)
    assert answer in reply or answer == "nothing"
    assert not demo_rows(demo_books)[0].quiet_until


def demo_rows(books):
    with books.read() as session:
        return session.exec(select(Alarm)).all()


def test_undo_gives_an_alarm_back_to_the_next_in_charge(demo_books, line):
    end = measured(demo_books, NOON, 6.7)
    line.now = end
    line.text("walt", "on it")
    line.now += MINUTES
    assert line.text("walt", "undo")[0] == "Taken back: seeing to an alarm."
    ticking(demo_books, end + 5 * MINUTES, end + 60 * MINUTES, 6.7)
    assert len(alarmed(demo_books)) == 2


def test_at_night_nobody_is_woken_for_what_can_wait(demo_books):
    ticking(demo_books, NIGHT, NIGHT + timedelta(hours=7), 6.7, every=15)
    assert alarmed(demo_books) == []
    ticking(demo_books, NIGHT + timedelta(hours=7.25), NIGHT + timedelta(hours=8.1), 6.7, every=15)
    assert [one.created_at for one in alarmed(demo_books)] == [NIGHT + timedelta(hours=8)], "who asked for 7am"


def test_what_was_over_before_anybody_was_told_is_never_spoken_of(demo_books):
    end = ticking(demo_books, NIGHT, NIGHT + timedelta(hours=3), 6.7, every=15)
    ticking(demo_books, end + 15 * MINUTES, end + timedelta(hours=9), 6.0, every=15)
    assert len(demo_rows(demo_books)) == 1
    assert alarmed(demo_books) == cleared(demo_books) == []


def test_at_night_what_cannot_wait_reaches_who_chose_to_be_woken_at_once(demo_books):
    ticking(demo_books, NIGHT, NIGHT + 40 * MINUTES, 6000, measure="co2", where="")
    assert [one.kind for one in alarmed(demo_books)] == ["trouble"] * 3
    assert [one.created_at - NIGHT for one in alarmed(demo_books)] == [5 * MINUTES, 15 * MINUTES, 25 * MINUTES]
    assert {one.person_id for one in alarmed(demo_books)} == {
        to(demo_books, who)[0].person_id for who in ("walt", "tomas", "priya")
    }


def test_a_trouble_that_becomes_one_that_cannot_wait_is_told_anew_and_cleared_once(demo_books):
    end = ticking(demo_books, NOON, NOON + 40 * MINUTES, 2000, measure="co2", where="")
    assert len(alarmed(demo_books, "walt")) == 1
    end = ticking(demo_books, end + 5 * MINUTES, end + 50 * MINUTES, 7000, measure="co2", where="")
    assert len(alarmed(demo_books, "walt")) == 2
    ticking(demo_books, end + 5 * MINUTES, end + 60 * MINUTES, 800, measure="co2", where="")
    assert len(cleared(demo_books, "walt")) == 1
    assert [one.over_at is not None for one in demo_rows(demo_books)] == [True, True]


def test_danger_that_a_person_texts_is_told_to_all_in_charge_at_once_and_once(demo_books, line):
    line.now = NOON
    _, told = line.text("keisha", "co2 is 6000")
    assert sorted(who for who, _ in told) == ["priya", "tomas", "walt"]
    line.now += 5 * MINUTES
    assert line.text("bea", "co2 is 6100")[1] == []
    for at in range(0, 60, 5):
        tick(demo_books, line.now + at * MINUTES, place)
    assert alarmed(demo_books) == []
    line.now += 60 * MINUTES
    line.text("keisha", "co2 is 700")
    tick(demo_books, line.now, place)
    assert [len(cleared(demo_books, who)) for who in ("walt", "tomas", "priya", "keisha")] == [1, 1, 1, 0]


def test_a_reading_by_hand_that_nobody_put_right_is_passed_on(demo_books, line):
    line.now = NOON
    line.text("keisha", "main ph 6.9")
    for at in range(0, 120, 10):
        tick(demo_books, NOON + at * MINUTES, place)
    assert alarmed(demo_books) == []
    tick(demo_books, NOON + 120 * MINUTES, place)
    assert len(alarmed(demo_books)) == 1


def test_equipment_that_falls_silent_is_missed_and_welcomed_back(demo_books):
    end = ticking(demo_books, NOON, NOON + 60 * MINUTES, 6.0)
    for at in range(5, 200, 5):
        tick(demo_books, end + at * MINUTES, place)
    (told,) = alarmed(demo_books)
    assert told.body.startswith("No pH from main since today 1pm. Please check probe and power.")
    measured(demo_books, end + 200 * MINUTES, 6.0, minutes=6)
    assert cleared(demo_books)[0].body == "All clear: main pH is read again: 6."


def test_a_probe_that_shows_the_very_same_for_a_day_is_told_once(demo_books):
    ticking(demo_books, NOON, NOON + timedelta(hours=30), 6.01, every=60)
    told = alarmed(demo_books)
    assert "main pH 6.01, the very same since yesterday 12pm: is the probe stuck?" in told[0].body
    assert set(Counter(one.person_id for one in told).values()) == {1}


def test_who_cannot_be_texted_is_passed_over(demo_books):
    change(demo_books, "walt", muted=True)
    measured(demo_books, NOON, 6.7)
    assert [len(alarmed(demo_books, who)) for who in ("walt", "tomas")] == [0, 1]


def test_every_alarm_fits_one_segment_and_is_said_in_the_readers_language(demo_books):
    change(demo_books, "walt", muted=True)
    measured(demo_books, NOON, 6.7)
    (told,) = alarmed(demo_books, "tomas")
    assert told.body.startswith("principal pH 6.7 ALTO desde hoy 12pm (maximo 6.3).")
    assert len(told.body) <= 160
