"""People's own time and lists: coming, going, hours worked, days that cannot be, tasks that are asked about."""

import pytest

from service.understanding import Context, ListedTask

LIST = Context(tasks=tuple(ListedTask(n, "clean") for n in (1, 2, 3, 4, 5)))
SATURDAY = {"start": "2026-05-09T08:00", "end": "2026-05-09T20:00"}


def notes(reading):
    return reading.record()["notes"]


@pytest.mark.parametrize(
    ("text", "minutes"), [("1.5 h", 90), ("2 hrs 15 min", 135), ("hours: 3", 180), ("2 horas y media", 150)]
)
def test_a_length_of_time_alone_is_time_worked(read, text, minutes):
    assert notes(read(text)) == [{"act": "hours", "minutes": minutes}]


@pytest.mark.parametrize("text", ["in 2 hours", "2 hours tomorrow", "back in 2 hours", "an hour"])
def test_a_length_of_time_that_lies_ahead_or_has_no_figure_is_not_time_worked(read, text):
    assert read(text).verdict == "none"


def test_coming_and_going_may_be_told_in_two_words_each(read):
    assert notes(read("in 8:00 out 9:30")) == [
        {"act": "arrive", "at": "2026-05-06T08:00"},
        {"act": "leave", "at": "2026-05-06T09:30"},
    ]


@pytest.mark.parametrize("text", ["not this saturday", "no este sabado"])
def test_not_this_day_alone_is_the_coming_one(read, text):
    assert notes(read(text)) == [{"act": "busy", "windows": [SATURDAY]}]


@pytest.mark.parametrize("text", ["open thursday again", "we're open thursday again", "can anyone cover friday for me"])
def test_what_is_said_of_the_farm_or_asked_of_others_frees_nobody(read, text):
    assert read(text).verdict == "none"


def test_one_day_that_cannot_be_and_another_that_can_need_no_comma(read):
    assert notes(read("not sat. sun im ok 1-3")) == [
        {"act": "busy", "windows": [SATURDAY]},
        {"act": "free", "windows": [{"start": "2026-05-10T13:00", "end": "2026-05-10T15:00"}]},
    ]


def test_a_range_of_dates_may_name_its_month_last(read):
    said = notes(read("I can't come the third through the fifth of August"))
    assert [one["start"][:10] for one in said[0]["windows"]] == ["2026-08-03", "2026-08-04", "2026-08-05"]


@pytest.mark.parametrize("text", ["how do i do 5", "what is number 4"])
def test_a_question_about_a_task_finishes_none(read, text):
    assert notes(read(text, context=LIST)) == [{"act": "ask", "about": "tasks"}]


@pytest.mark.parametrize("text", ["did someone do 3", "can i skip 2"])
def test_a_question_without_its_mark_records_no_task(read, text):
    assert notes(read(text, context=LIST)) == []


@pytest.mark.parametrize("text", ["what did I do today", "que hice hoy"])
def test_what_was_done_today_is_a_question_about_hours(read, text):
    assert notes(read(text, context=LIST)) == [{"act": "ask", "about": "hours", "period": "today"}]


def test_a_task_of_which_something_else_is_said_is_not_done_with_the_others(read):
    assert notes(read("1 done, 2 is gross", context=LIST)) == [{"act": "task", "state": "done", "n": 1}]


def test_the_task_left_out_of_the_list_is_the_one_that_could_not_be_done(read):
    said = notes(read("all but 4, couldnt find the key", context=LIST))
    assert [(one["n"], one["state"]) for one in said] == [
        (1, "done"),
        (2, "done"),
        (3, "done"),
        (5, "done"),
        (4, "cannot"),
    ]
