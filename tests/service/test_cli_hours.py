"""Hours, letters and calendars on the command line."""

import io

import pytest
from pypdf import PdfReader

from tests.practice_line import Line

YEAR = ("--from", "2026-01-01", "--to", "2026-05-04")


@pytest.fixture
def rowcall(demo_books, rowcall):
    """The commands, on a demo farm on which June has said that she worked three hours."""
    Line(demo_books).text("june", "worked 3 hours on friday")
    return rowcall


def test_hours_are_listed_by_person_with_what_waits_and_what_they_are_worth(rowcall):
    said = rowcall("hours", *YEAR).output
    assert "June" in said
    assert "(3.0 h to approve)" in said
    assert "Independent Sector" in said


def test_hours_for_a_spreadsheet_have_a_heading_and_a_row_a_person(rowcall):
    lines = rowcall("hours", *YEAR, "--csv").output.splitlines()
    assert lines[0] == "name,days,hours,hours waiting for approval"
    assert any(line.startswith("June") and line.endswith(",3.0") for line in lines[1:])


def test_a_letter_is_written_to_a_file(rowcall, tmp_path):
    assert "Read it before you sign it" in rowcall("letter", "june", str(tmp_path / "june.pdf"), *YEAR).output
    text = PdfReader(io.BytesIO((tmp_path / "june.pdf").read_bytes())).pages[0].extract_text()
    assert "June" in text


def test_a_calendar_address_is_given_for_a_person_and_for_the_farm(rowcall):
    assert "/calendar/1-" in rowcall("calendar", "june").output
    assert "/calendar/1-" in rowcall("calendar", "--new").output


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("letter", "nobody", "x.pdf"), "Nobody has the handle 'nobody'"),
        (("hours", "--from", "2026-05-05", "--to", "2026-05-04"), "is after"),
        (("hours", "--from", "may"), "write it like 2026-05-02"),
        (("calendar", "nobody"), "rowcall people lists them"),
    ],
)
def test_what_is_wrong_is_said_in_words(rowcall, words, said):
    result = rowcall(*words)
    assert said in result.output
    assert result.exit_code == 2
