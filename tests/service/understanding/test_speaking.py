"""What is said of somebody else is read as theirs: who picked, whose time it is, and never the sender's own."""

from datetime import datetime

import pytest

from core.notes import Arrive, Busy, Free, Harvest, Hours, Leave, ShiftAnswer, Window
from service.understanding import Context, ShiftAhead

at = datetime.fromisoformat

THURSDAY = ShiftAhead("s12", at("2026-05-07T16:00"), at("2026-05-07T18:00"))
OF_ALL = Context(shifts=(THURSDAY,), theirs={"june": (THURSDAY,)})
MINE = Context(shifts=(THURSDAY,))


def said(reading):
    return list(zip(reading.notes, reading.for_whom, strict=True))


@pytest.mark.parametrize(
    ("text", "note"),
    [
        ("june worked 2 hours", Hours(minutes=120)),
        ("June is here", Arrive()),
        ("june’s here", Arrive()),
        ("june left", Leave()),
        ("june is free saturday 9-11", Free(windows=(Window(at("2026-05-09T09:00"), at("2026-05-09T11:00")),))),
        ("june cant come thursday", ShiftAnswer(answer="no", shift="s12")),
        ("June can't make it thursday", ShiftAnswer(answer="no", shift="s12")),
        ("june will be 10 min late thursday", ShiftAnswer(answer="late", shift="s12", minutes=10)),
        ("june no puede venir el jueves", ShiftAnswer(answer="no", shift="s12")),
        ("june trabajo 2 horas", Hours(minutes=120)),
        ("june ya llego", Arrive()),
    ],
)
def test_anothers_time_is_read_as_theirs(read, text, note):
    assert said(read(text, context=OF_ALL)) == [(note, "june")]


@pytest.mark.parametrize(
    "text",
    [
        "june cant come thursday",
        "june no puede venir el jueves",
        "June's out",
        "june is sick",
        "june cant",
        "june can't find it",
    ],
)
def test_a_no_of_another_is_never_about_the_senders_own_shift(read, text):
    assert not any(isinstance(one, ShiftAnswer) for one in read(text, context=MINE).notes)


def test_two_people_are_two_notes_and_the_senders_own_stays_theirs(read):
    assert said(read("june and arlo worked 2 hours")) == [(Hours(minutes=120), "june"), (Hours(minutes=120), "arlo")]
    both = said(read("keisha and june cant come thursday", context=MINE))
    assert [(type(note), whom) for note, whom in both] == [(ShiftAnswer, None), (Busy, "june")]


@pytest.mark.parametrize(
    ("text", "pickers"),
    [
        ("june picked 12 mint", ["june"]),
        ("june just picked 12 mint", ["june"]),
        ("12 mint picked by june", ["june"]),
        ("june cosecho 12 mentas", ["june"]),
        ("i picked 12 mint", [None]),
        ("keisha picked 12 mint", [None]),
        ("walt and june picked 12 mint", [None]),
        ("picked 12 mint with june", [None]),
        ("i picked 7 mint from F1, june picked 5 kale from D9", [None, "june"]),
    ],
)
def test_the_picker_is_the_one_named_beside_the_picking(read, text, pickers):
    reading = read(text)
    assert all(isinstance(one, Harvest) for one in reading.notes)
    assert list(reading.for_whom) == pickers


@pytest.mark.parametrize(
    "text",
    [
        "june, can you come thursday",
        "june can you come thursday",
        "is june here?",
        "june is here?",
        "june is 15 today",
        "june said she might pick kale",
        "june is out of bags",
    ],
)
def test_talk_to_or_about_somebody_is_no_report_for_them(read, text):
    assert not any(read(text, context=OF_ALL).for_whom)


def test_the_plain_record_has_no_slot_for_whom_and_holds_no_time_of_others(read):
    reading = read("walt cant come saturday")
    assert (reading.verdict, reading.own().record()["verdict"], reading.own().notes) == ("record", "none", ())
    assert read("june picked 12 mint").own().record()["notes"] == [{"act": "harvest", "crop": "mint", "count": 12}]


def test_a_no_for_another_without_a_day_is_asked_about(read):
    reading = read("june is sick", context=OF_ALL)
    assert (reading.missing, said(reading)) == (("which",), [(ShiftAnswer(answer="no"), "june")])
