"""Times that a careful person would ask about are asked, and those told of others are not the sender's."""

import pytest

from core.notes import Busy, Free


@pytest.mark.parametrize(
    "text",
    [
        "i can do one day next week",
        "gone till monday",
        "out of town starting friday",
        "can do sat 6/14 9-11",
        "saturday 17 i can come",
        "any day except monday is fine",
    ],
)
def test_a_time_that_may_mean_several_is_asked(read, text):
    assert read(text).missing == ("when",)


@pytest.mark.parametrize(
    "text", ["not sure about sat", "walt cant come saturday", "we close at 5 today", "anything i can do today?"]
)
def test_what_is_no_time_of_the_senders_is_not_recorded(read, text):
    assert not any(isinstance(note, Free | Busy) for note in read(text).own().notes)


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("i can do 10-12 sat and 2-4 sun", [(9, 10, 12), (10, 14, 16)]),
        ("free saturday, starting 10:30 for an hour", [(9, 10, 11)]),
        ("next sat not this one im good 9-11", [(16, 9, 11)]),
        ("puedo de 9 a 11 el sabado 16", [(16, 9, 11)]),
        ("may 16 & 17 am free from 9 to 11", [(16, 9, 11), (17, 9, 11)]),
        ("just got off nights, can do saturday from ten to one", [(9, 10, 13)]),
        ("i can come sat 10-12, or sun same time", [(9, 10, 12), (10, 10, 12)]),
    ],
)
def test_hours_belong_to_the_day_they_are_said_of(read, text, hours):
    windows = [window for note in read(text).notes for window in note.windows]
    assert [(one.start.day, one.start.hour, one.end.hour) for one in windows] == hours


def test_a_range_of_dates_is_one_window_a_day(read):
    (note,) = read("out of town may 12-15").notes
    assert isinstance(note, Busy)
    assert [one.start.day for one in note.windows] == [12, 13, 14, 15]
