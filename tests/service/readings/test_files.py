"""Readings from a file: looked at first, every fault named by its line, all taken in or none, and taken out again."""

import csv
import io
from datetime import UTC

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st
from sqlmodel import select

from core.books.store import Books
from core.books.tables import Sample
from service.cli import main
from service.readings.files import read_table
from service.settings import settings
from tests import demo_farm
from tests.demo_farm import CHICAGO

GOOD = """measured_at,measure,value,unit,where
2026-05-02T09:10,ph,6.1,,main
2026-05-02T09:10,ec,1.6,mS/cm,main
2026-05-02T09:10-05:00,air_temp,70,F,
"""
BAD = """measured_at,measure,value,unit,where
yesterday,ph,6.1,,main
2026-05-02T09:10,ph,six,,main
2026-05-02T09:10,ph,61,,main
2026-05-02T09:10,ph,6.1,,attic
2026-05-02T09:10,ph,6.1
"""


@pytest.fixture
def rowcall(demo_template, tmp_path, monkeypatch):
    demo_farm.copy(demo_template, tmp_path / "farm.db").close()
    monkeypatch.setenv("ROWCALL_DATABASE", f"sqlite:///{tmp_path}/farm.db")
    settings.cache_clear()
    yield lambda *words, typed="": CliRunner().invoke(main, words, input=typed)
    settings.cache_clear()


def file_of(tmp_path, text, name="log.csv"):
    (tmp_path / name).write_text(text, "utf-8")
    return str(tmp_path / name)


def kept(tmp_path):
    books = Books(f"sqlite:///{tmp_path}/farm.db")
    with books.read() as session:
        found = session.exec(select(Sample.measure)).all()
    books.close()
    return sorted(found)


def test_a_file_is_shown_first_and_taken_in_when_that_is_wanted(rowcall, tmp_path):
    asked = rowcall("readings", "import", file_of(tmp_path, GOOD), typed="n\n")
    assert "3 readings, 2026-05-02 09:10 to 2026-05-02 09:10:" in asked.output
    assert "1 air_temp room" in asked.output
    assert kept(tmp_path) == []
    assert rowcall("readings", "import", file_of(tmp_path, GOOD), typed="y\n").exit_code == 0
    assert kept(tmp_path) == ["air_temp", "ec", "ph"]


def test_the_same_file_again_adds_nothing_and_can_be_taken_out(rowcall, tmp_path):
    rowcall("readings", "import", file_of(tmp_path, GOOD), "--yes")
    again = rowcall("readings", "import", file_of(tmp_path, GOOD), "--yes")
    assert "0 readings taken in, 3 known already" in again.output
    gone = rowcall("readings", "remove", "file:log.csv", "--to", "2026-05-02T09:11")
    assert gone.output == "3 readings of file:log.csv taken out.\n"
    assert kept(tmp_path) == []


def test_every_fault_is_named_by_its_line_and_nothing_is_taken_in(rowcall, tmp_path):
    mixed = GOOD + "\n".join(BAD.splitlines()[1:])
    said = rowcall("readings", "import", file_of(tmp_path, mixed), "--yes")
    assert said.exit_code == 2
    assert "nothing is changed" in said.output
    for line, reason in [
        (5, "'yesterday' is no time"),
        (6, "'six' is no number"),
        (7, "cannot be right"),
        (8, "'attic'"),
        (9, "3 values for 5 columns"),
    ]:
        assert any(f"line {line}:" in one and reason in one for one in said.output.splitlines()), (line, said.output)
    assert kept(tmp_path) == []


@pytest.mark.parametrize("text", ["", "a,b\n1,2\n", "measure,value\nph,6\n"])
def test_a_file_without_the_columns_says_which_are_needed(rowcall, tmp_path, text):
    said = rowcall("readings", "import", file_of(tmp_path, text), "--yes")
    assert "no column measured_at" in said.output


def test_a_file_that_is_no_text_says_how_to_save_it(rowcall, tmp_path):
    (tmp_path / "log.csv").write_bytes(b"\xff\xfe\x00")
    assert "UTF-8" in rowcall("readings", "import", str(tmp_path / "log.csv")).output


def test_semicolons_with_decimal_commas_are_read():
    table = read_table("measured_at;measure;value;where\n2026-05-02T09:10;ph;6,1;main\n\n", CHICAGO)
    assert [one.value for one in table.readings] == [6.1]
    assert table.faults == ()


@given(st.text())
def test_no_text_is_too_strange_to_be_read(text):
    table = read_table(text, CHICAGO)
    assert table.readings or table.faults or not text.strip() or text.splitlines()


@given(st.lists(st.tuples(st.datetimes(timezones=st.just(UTC)), st.floats(-1e6, 1e6)), min_size=1, max_size=20))
def test_what_is_written_is_read(rows):
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(["measured_at", "measure", "value"])
    writer.writerows([at.isoformat(), "co2", repr(value)] for at, value in rows)
    table = read_table(out.getvalue(), CHICAGO)
    assert [(one.at, one.value) for one in table.readings] == rows


def test_keys_are_made_shown_and_taken_away(rowcall):
    made = rowcall("token", "add", "box")
    assert made.output.startswith("1.")
    assert "box" in rowcall("token", "list").output
    assert made.output.split("\n")[0] not in rowcall("token", "list").output
    assert "already" in rowcall("token", "add", "box").output
    assert rowcall("token", "remove", "box").exit_code == 0
    assert "no key" in rowcall("token", "remove", "box").output


def test_ranges_are_shown_set_and_left_to_the_crops(rowcall):
    assert "pH main should be 5.6 to 6.3, low end: butterhead" in rowcall("range", "list").output
    assert (
        rowcall("range", "set", "main", "ph", "5.6", "6.0").output == "pH main should be 5.6 to 6 (set by the farm)\n"
    )
    assert "set by the farm" in rowcall("range", "list").output
    assert rowcall("range", "clear", "main", "ph").exit_code == 0
    assert "set by the farm" not in rowcall("range", "list").output
    assert "cannot be a range" in rowcall("range", "set", "main", "ph", "6", "5").output
    assert "read in main, nursery" in rowcall("range", "set", "attic", "ph", "5", "6").output
