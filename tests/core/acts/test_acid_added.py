"""Acid that somebody says they put in: far too much is asked about first, and leads are told at once."""

import pytest

from tests.practice_line import Line


@pytest.fixture
def line(demo_books):
    return Line(demo_books)


@pytest.mark.parametrize("text", ["added 5 L ph down to main", "puse 2 litros de ph menos en principal"])
def test_far_too_much_acid_is_asked_about_and_nothing_is_written_yet(line, text):
    reply, news = line.text("mateo" if "puse" in text else "bea", text)
    assert "OK" in reply
    assert not reply.startswith(("Noted", "Anotado"))
    assert news == []


def test_where_it_really_went_in_every_lead_hears_of_it_at_once(line):
    line.text("bea", "added 5 L ph down to main")
    reply, news = line.text("bea", "ok")
    assert reply.startswith("Noted: 5 L pH down into main.")
    assert {who for who, _ in news} == {"walt", "tomas", "priya"}


def test_an_ordinary_dose_is_simply_noted(line):
    assert line.text("walt", "added 14 ml ph down to nursery")[0].startswith("Noted: 14 mL pH down")


def test_how_much_is_left_of_an_acid_is_not_given_as_a_dose(line):
    assert "not a dose" in line.text("bea", "how much ph down for main")[0]


def test_a_minor_who_asks_how_much_acid_is_sent_to_a_lead(line):
    assert "call a lead" in line.text("june", "how much ph up do i add")[0]
