"""Texts that want something reckoned, or to be led through a calibration; and those that only look so."""

from datetime import datetime

import pytest

from core.notes import to_record
from service.demo import demo_vocabulary
from service.understanding import understand

WORDS = demo_vocabulary()
SENT = datetime(2026, 5, 4, 9, 10, tzinfo=WORDS.zone)


def read(text, who="walt"):
    return understand(text, sent=SENT, sender=who, vocabulary=WORDS)


def want(measure, value, where, **now):
    return {"act": "want", "measure": measure, "value": value, "where": where, **now}


def reading(measure, value, where):
    return {"act": "reading", "measure": measure, "value": value, "where": where}


@pytest.mark.parametrize(
    ("text", "measure", "now", "value", "where"),
    [
        ("main ec 1.1 want 1.6", "ec", 1.1, 1.6, "main"),
        ("nursery ph 6.8 want 5.8", "ph", 6.8, 5.8, "nursery"),
        ("ph main 6.8, want it at 5.8", "ph", 6.8, 5.8, "main"),
        ("main ec 1100 want 1600", "ec", 1.1, 1.6, "main"),
        ("main ph 5.2, target 5.8", "ph", 5.2, 5.8, "main"),
        ("main ph 6.8 quiero 5.8", "ph", 6.8, 5.8, "main"),
        ("ec del vivero 1.1 quiero 1.6", "ec", 1.1, 1.6, "nursery"),
    ],
)
def test_what_it_reads_and_what_is_wanted_are_a_reading_and_a_question(text, measure, now, value, where):
    found = read(text)
    assert found.verdict == "record"
    expected = [reading(measure, now, where), want(measure, value, where, now=now)]
    assert [to_record(note) for note in found.notes] == expected


@pytest.mark.parametrize(
    ("text", "note"),
    [
        ("how much nutrient for main to reach 1.6", want("ec", 1.6, "main")),
        ("how much a and b for nursery to get to 1.7", want("ec", 1.7, "nursery")),
        ("raise main ec to 1.6", want("ec", 1.6, "main")),
        ("how do i lower the ph in main to 5.8", want("ph", 5.8, "main")),
        ("lower main ec from 2.4 to 1.6", want("ec", 1.6, "main", now=2.4)),
        ("raise nursery ph to 6.2 from 5.5", want("ph", 6.2, "nursery", now=5.5)),
        ("get main ec to 1.7", want("ec", 1.7, "main")),
        ("sube el ec de main a 1.6", want("ec", 1.6, "main")),
        ("baja el ph del vivero de 6.8 a 5.8", want("ph", 5.8, "nursery", now=6.8)),
        ("cuanto nutriente para que main llegue a 1.6", want("ec", 1.6, "main")),
    ],
)
def test_what_is_only_wanted_is_a_question(text, note):
    found = read(text)
    assert found.verdict == "answer"
    assert [to_record(one) for one in found.notes] == [note]


@pytest.mark.parametrize(
    ("text", "missing"),
    [
        ("ec 1.1 want 1.6", "where"),
        ("raise main ec", "value"),
        ("lower main ph by 0.5", "value"),
        ("raise nursery ph to 5.5 from 6.2", "value"),
        ("calibrate ph", "where"),
        ("calibrate main", "what"),
    ],
)
def test_what_is_missing_or_contradicts_itself_is_asked(text, missing):
    found = read(text)
    assert found.verdict == "ask"
    assert missing in found.missing


@pytest.mark.parametrize(
    ("text", "slots"),
    [
        ("vpd at 72f 60%", {"about": "vpd", "air_c": 22.2, "humidity": 60}),
        ("vpd 22c 60", {"about": "vpd", "air_c": 22, "humidity": 60}),
        ("vpd", {"about": "vpd"}),
        ("dew point 72f 60% wall 55f", {"about": "dew_point", "air_c": 22.2, "humidity": 60, "wall_c": 12.8}),
        ("punto de rocio 22c 70%", {"about": "dew_point", "air_c": 22, "humidity": 70}),
        ("dli 250 for 16h", {"about": "dli", "ppfd": 250, "hours": 16}),
        ("dli 250 umol 16 hours", {"about": "dli", "ppfd": 250, "hours": 16}),
        ("hours for dli 15 at 250", {"about": "light_hours", "ppfd": 250, "dli": 15}),
        ("horas para dli 15 con 250", {"about": "light_hours", "ppfd": 250, "dli": 15}),
        ("lamp heat 400w", {"about": "lamp_heat", "watts": 400}),
        ("heat from the lamps 1.2kw", {"about": "lamp_heat", "watts": 1200}),
    ],
)
def test_sums_about_air_and_light_are_read_with_their_figures(text, slots):
    found = read(text)
    assert found.verdict == "answer"
    assert [to_record(one) for one in found.notes] == [{"act": "reckon", **slots}]


@pytest.mark.parametrize(
    ("text", "measure", "where"),
    [
        ("calibrate main ph", "ph", "main"),
        ("lets calibrate the ph pen in the nursery", "ph", "nursery"),
        ("hi, help me calibrate the ec of main", "ec", "main"),
        ("calibra ec del vivero", "ec", "nursery"),
        ("como calibro el ph del principal?", "ph", "main"),
    ],
)
def test_who_wants_to_calibrate_is_led(text, measure, where):
    assert [to_record(one) for one in read(text).notes] == [{"act": "calibrate", "measure": measure, "where": where}]


@pytest.mark.parametrize(
    "text",
    [
        "calibrated main ph",
        "calibrate main ph done",
        "ph probe main calibrated w/ 4 and 7",
        "calibré la sonda de ec del principal",
    ],
)
def test_who_has_calibrated_reports_it(text):
    assert [one.act for one in read(text).notes] == ["calibrated"]


@pytest.mark.parametrize(
    "text",
    [
        *("i will calibrate main ph tomorrow", "hay que calibrar el ph del vivero", "want 12 romaine", "get well soon"),
        *("i want to come at 4", "raise your hand", "take care", "quiero ir el sabado a las 9"),
    ],
)
def test_what_only_sounds_so_is_no_sum_and_no_calibration(text):
    assert not {"want", "reckon", "calibrate", "reading", "calibrated"} & {one.act for one in read(text).notes}


@pytest.mark.parametrize(
    ("text", "value"),
    [("main ph 6.1", 6.1), ("dropped main ph from 6.4 to 6.1", 6.1), ("raised the ec in main to 1.6", 1.6)],
)
def test_a_plain_reading_stays_one(text, value):
    assert [(one.act, one.value) for one in read(text).notes] == [("reading", value)]


@pytest.mark.parametrize(
    ("text", "where"),
    [("calibration due?", None), ("when was main ph calibrated?", "main"), ("que sondas toca calibrar?", None)],
)
def test_what_is_due_and_when_it_was_done_are_questions(text, where):
    asked = read(text).notes[0]
    assert (asked.act, asked.about, asked.where) == ("ask", "calibration", where)
