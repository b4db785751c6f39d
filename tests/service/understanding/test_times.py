"""Times in every form people write them, and on the days when the clock changes."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from core.notes import Busy, Free
from service.understanding import understand
from tests.service.understanding.conftest import WEDNESDAY


def spans(notes):
    return [(f"{one.start:%m-%d %H:%M}", f"{one.end:%H:%M}") for note in notes for one in note.windows]


def weekly(notes):
    return [(one.day, f"{one.start:%H:%M}", f"{one.end:%H:%M}") for note in notes for one in note.weekly]


@pytest.mark.parametrize(
    ("text", "windows"),
    [
        ("i can do sat 9-11", [("05-09 09:00", "11:00")]),
        ("free thursday after 4", [("05-07 16:00", "20:00")]),
        ("i can come tomorrow before noon", [("05-07 08:00", "12:00")]),
        ("i can do friday 8-10 and 2-4", [("05-08 08:00", "10:00"), ("05-08 14:00", "16:00")]),
        ("thurs 330-5 works for me", [("05-07 15:30", "17:00")]),
        ("i can do the 14th from 4 to 6", [("05-14 16:00", "18:00")]),
        ("available may 20 10 to 1", [("05-20 10:00", "13:00")]),
        ("i'm free sunday half past 4 to six", [("05-10 16:30", "18:00")]),
        ("puedo el jueves de 4 a 6 de la tarde", [("05-07 16:00", "18:00")]),
        ("puedo el 14 de mayo por la mañana", [("05-14 08:00", "12:00")]),
        ("pasado mañana puedo de 9 a 12", [("05-08 09:00", "12:00")]),
        ("el viernes puedo de las 4 y media hasta que cierren", [("05-08 16:30", "20:00")]),
        ("free today after 3", [("05-06 15:00", "20:00")]),
    ],
)
def test_when_people_can_come(read, text, windows):
    reading = read(text)
    assert all(isinstance(note, Free) for note in reading.notes)
    assert spans(reading.notes) == windows


@pytest.mark.parametrize(
    ("text", "windows"),
    [
        ("can't come friday", [("05-08 08:00", "20:00")]),
        ("away mon thru wed", [("05-11 08:00", "20:00"), ("05-12 08:00", "20:00"), ("05-13 08:00", "20:00")]),
        ("no puedo esta noche", [("05-06 17:00", "20:00")]),
        ("i can't do saturday, sorry", [("05-09 08:00", "20:00")]),
    ],
)
def test_when_people_cannot_come(read, text, windows):
    reading = read(text)
    assert all(isinstance(note, Busy) for note in reading.notes)
    assert spans(reading.notes) == windows


@pytest.mark.parametrize(
    ("text", "windows", "until"),
    [
        ("every thurs 4-6 til june 12", [("thu", "16:00", "18:00")], "2026-06-12"),
        ("I can do tuesdays and thursdays 1 to 3", [("tue", "13:00", "15:00"), ("thu", "13:00", "15:00")], None),
        ("los martes puedo de 5 a 7", [("tue", "17:00", "19:00")], None),
        ("no more mondays for me", [("mon", "08:00", "20:00")], None),
    ],
)
def test_what_is_said_of_every_week(read, text, windows, until):
    reading = read(text)
    assert weekly(reading.notes) == windows
    assert [str(note.until) if note.until else None for note in reading.notes] == [until]


def test_a_weekday_whose_hours_have_passed_means_the_next_one(read):
    assert spans(read("i can do wednesday 8-9").notes) == [("05-13 08:00", "09:00")]
    assert spans(read("i can do wednesday 2-4").notes) == [("05-06 14:00", "16:00")]


CHICAGO = ZoneInfo("America/Chicago")


@pytest.mark.parametrize(
    ("sent", "tomorrow"),
    [
        (datetime(2026, 3, 7, 23, 30, tzinfo=CHICAGO), "03-08"),  # clocks go forward on 2026-03-08
        (datetime(2026, 3, 8, 3, 30, tzinfo=CHICAGO), "03-09"),
        (datetime(2026, 10, 31, 23, 30, tzinfo=CHICAGO), "11-01"),  # and back on 2026-11-01
        (datetime(2026, 11, 1, 1, 30, tzinfo=CHICAGO, fold=1), "11-02"),
    ],
)
def test_tomorrow_is_the_next_day_of_the_farm_also_when_the_clock_changes(words, sent, tomorrow):
    """Dates of the changes: IANA time zone database, America/Chicago."""
    for moment in (sent, sent.astimezone(ZoneInfo("UTC"))):
        reading = understand("i can do tomorrow 9-11", sent=moment, sender="walt", vocabulary=words)
        assert spans(reading.notes) == [(f"{tomorrow} 09:00", "11:00")]


def test_a_naive_time_is_farm_local(words):
    reading = understand("i can do tomorrow 9-11", sent=WEDNESDAY, sender="walt", vocabulary=words)
    assert spans(reading.notes) == [("05-07 09:00", "11:00")]
