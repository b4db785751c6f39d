"""The roster asked for, and wishes of it; only where a text says nothing else."""

from datetime import date

import pytest

from core.notes import Ask, MakeRoster, RosterWish


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("make the roster", None),
        ("hi, make next week's roster please", None),
        ("can you make the roster for next week?", None),
        ("make the roster for this week", date(2026, 5, 6)),
        ("Make the roster for the week of may 18", date(2026, 5, 18)),
        ("fill the shifts", None),
        ("haz los turnos", None),
        ("haz los turnos de la semana que viene", None),
        ("arma los turnos de la proxima semana", None),
        ("haz el rol de esta semana por favor", date(2026, 5, 6)),
    ],
)
def test_the_roster_is_asked_for_with_its_week(read, text, day):
    assert read(text).notes == (MakeRoster(date=day),)


@pytest.mark.parametrize("text", ["roster", "roster next week", "who is on next week", "what is the roster this week?"])
def test_to_ask_who_is_on_makes_no_roster(read, text):
    (note,) = read(text).notes
    assert isinstance(note, Ask)
    assert note.about == "roster"


@pytest.mark.parametrize(
    ("text", "wish"),
    [
        ("i'd like to be with june", {"beside": ("june",)}),
        ("put me with June and Walt please", {"beside": ("june", "walt")}),
        ("not with arlo please", {"apart": ("arlo",)}),
        ("id like to work with bea but not with arlo", {"beside": ("bea",), "apart": ("arlo",)}),
        ("only twice a month", {"most": 2, "per": "month"}),
        ("at most one shift a week", {"most": 1, "per": "week"}),
        ("no more than 2 shifts a week please", {"most": 2, "per": "week"}),
        ("mornings please", {"part": "morning"}),
        ("i prefer afternoons", {"part": "afternoon"}),
        ("i like mornings, max 2 shifts a week, not with arlo",
         {"part": "morning", "most": 2, "per": "week", "apart": ("arlo",)}),
        ("forget my wishes", {"none": True}),
        ("me gustaria estar con june", {"beside": ("june",)}),
        ("solo dos veces al mes", {"most": 2, "per": "month"}),
        ("maximo un turno por semana", {"most": 1, "per": "week"}),
        ("prefiero las mañanas", {"part": "morning"}),
        ("por las tardes por favor", {"part": "afternoon"}),
        ("sin preferencias", {"none": True}),
    ],
)  # fmt: skip
def test_a_wish_is_read_as_one(read, text, wish):
    assert read(text).notes == (RosterWish(**wish),)


@pytest.mark.parametrize(
    "text",
    [
        "good morning please",
        "only 2",
        "only twice this week",
        "picked 12 kale with june",
        "weekday mornings are best for me",
        "lunch only twice a month please",
        "make the roster look nicer",
        "dont make the roster",
        "make the roster for the week after next",
        "i'd like to be with my mom",
        "40 shifts a week",
        "not with june on saturday",
    ],
)
def test_other_words_are_neither_wish_nor_roster(read, text):
    assert not any(isinstance(one, (MakeRoster, RosterWish)) for one in read(text).notes)


def test_nobody_wishes_to_be_with_themselves(read):
    assert read("put me with keisha").notes == ()
