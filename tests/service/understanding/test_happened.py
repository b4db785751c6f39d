"""The earlier day that a report is of, beside the note that has no slot for it. Read on Wednesday, May 6, 2026."""

from datetime import datetime

import pytest

NOON = {f"may {day}": datetime.fromisoformat(f"2026-05-0{day}T12:00") for day in (1, 2, 3, 4, 5)}


@pytest.mark.parametrize(
    ("text", "act", "day"),
    [
        ("yesterday i picked 8 romaine from B1", "harvest", "may 5"),
        ("yesterday, picked 8 romaine from B1", "harvest", "may 5"),
        ("ayer coseche 16 mantecosas de A1 y A2", "harvest", "may 5"),
        ("hace 2 dias coseche 3 romanas de B1", "harvest", "may 4"),
        ("picked 3 bunches mint C2 on may 2", "harvest", "may 2"),
        ("picked 8 romaine on 5/2 from B1", "harvest", "may 2"),
        ("sembre 24 kale el 2 de mayo", "sow", "may 2"),
        ("sowed 20 kale on sunday", "sow", "may 3"),
        ("18 of 24 kale came up two days ago", "stand", "may 4"),
        ("moved 10 kale to shelf 2 last friday", "move", "may 1"),
        ("lost 3 kale D9 yesterday", "loss", "may 5"),
        ("cleaned E19 yesterday", "clean", "may 5"),
        ("el domingo limpie E3", "clean", "may 3"),
        ("main ph was 6.0 yesterday", "reading", "may 5"),
        ("added 20 ml ph down to main last night", "added", "may 5"),
        ("calibrated main ph 3 days ago", "calibrated", "may 3"),
    ],
)
def test_the_day_said_is_read_beside_the_note(read, text, act, day):
    reading = read(text)
    assert (reading.verdict, [note.act for note in reading.notes]) == ("record", [act])
    assert reading.happened_at == (NOON[day],)


def test_the_plain_record_of_a_reading_has_no_day(read):
    assert read("lost 3 kale D9 yesterday").record() == read("lost 3 kale D9").record()


@pytest.mark.parametrize(
    "text",
    [
        "picked 8 romaine B1",
        "picked 8 romaine B1 today",
        "picked 12 romaine from B1 for saturday",
        "picked 12 romaine from B1 for saturday's market",
        "same as yesterday: 8 romaine B1",
        "they sat in the sun, lost 3 kale D9",
        "coseche 8 romanas de B1 para el viernes",
    ],
)
def test_another_day_than_that_of_the_report_is_not_taken_for_it(read, text):
    assert set(read(text).happened_at) == {None}


def test_a_report_of_a_day_to_come_is_none(read):
    assert read("picked 8 romaine B1 tomorrow").verdict == "none"


def test_an_hour_said_with_the_day_is_kept(read):
    assert read("main ph 6.1 yesterday at 4pm").happened_at == (datetime.fromisoformat("2026-05-05T16:00"),)


def test_a_day_said_first_holds_for_all_that_a_sentence_reports(read):
    assert read("yesterday cleaned E19 and picked 8 romaine B1").happened_at == (NOON["may 5"],) * 2


def test_a_day_said_last_holds_for_all_reports_of_that_kind(read):
    assert read("main ph 6.1 and nursery ph 5.8 yesterday").happened_at == (NOON["may 5"],) * 2


def test_what_is_of_today_and_what_is_of_yesterday_stay_apart(read):
    reading = read("picked 8 romaine B1 today and lost 3 kale D9 yesterday")
    assert reading.happened_at == (None, NOON["may 5"])
