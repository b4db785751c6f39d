"""The service-hours letter as a file: read back, with names of any letters, on either paper, in both languages."""

import io
import tomllib
from datetime import date
from importlib import resources

import pytest
from pypdf import PdfReader

from core.hours import WorkDay
from service.letters.hours_letter import Letter, pdf

DAYS = [WorkDay(date(2026, 3, 7), 180, waits=False), WorkDay(date(2026, 4, 4), 95, waits=False)]


def letter(**other):
    values = {
        "farm": "Tern Street Farm",
        "name": "June Example",
        "minor": False,
        "first": date(2026, 1, 1),
        "last": date(2026, 5, 4),
        "days": DAYS,
        "today": date(2026, 5, 4),
    }
    return Letter(**(values | other))


def read(one, language="en", **other):
    pages = PdfReader(io.BytesIO(pdf(one, language, **other))).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split()), pages


def test_months_and_the_total_are_in_the_table():
    text, pages = read(letter())
    assert "March 2026 1 3 h 0 min" in text
    assert "April 2026 1 1 h 35 min" in text
    assert "Total 2 4 h 35 min" in text
    assert len(pages) == 1


def test_a_name_is_text_whatever_is_in_it():
    text, _ = read(letter(name="Zoë <b>Łuk&</b> Ñ", farm="A & B <Farm>"))
    assert "Zoë <b>Łuk&</b> Ñ" in text
    assert "A & B <Farm>" in text


def test_who_gave_no_hours_gets_a_letter_that_says_so():
    text, _ = read(letter(days=[]))
    assert "no hours" in text


def test_a_letter_on_a_minor_says_to_whom_it_may_be_given():
    assert "guardian only" in read(letter(minor=True))[0]
    assert "guardian" not in read(letter())[0]


def test_hours_not_yet_approved_are_named():
    waiting = [*DAYS, WorkDay(date(2026, 5, 1), 60, waits=True)]
    assert "1 h 0 min of these were reported and have not been approved" in read(letter(days=waiting))[0]


def test_a_year_of_months_still_fits_one_page():
    days = [WorkDay(date(2025, month, 3), 120, waits=False) for month in range(1, 13)]
    assert len(read(letter(days=days, minor=True))[1]) == 1


def test_the_letter_is_written_in_spanish_too():
    assert "Constancia de horas de voluntariado" in read(letter(), "es")[0]


@pytest.mark.parametrize(("paper", "width"), [("letter", 612), ("a4", 595)])
def test_both_papers(paper, width):
    assert round(float(read(letter(), paper=paper)[1][0].mediabox.width)) == width


def test_every_language_has_the_same_wording():
    files = [one for one in resources.files("service.letters").iterdir() if one.name.endswith(".toml")]
    keys = [set(tomllib.loads(one.read_text(encoding="utf-8"))) for one in files]
    assert len(keys) >= 2
    assert all(one == keys[0] for one in keys)
