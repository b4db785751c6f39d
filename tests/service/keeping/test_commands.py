"""The commands of keeping, run as an operator would: what they print, what they ask, and what they say when it is wrong."""

import pytest
from click.testing import CliRunner

from core.books.store import Books
from service.cli import main
from service.settings import settings
from tests.practice_line import Line


@pytest.fixture
def rowcall(demo_books, monkeypatch):
    monkeypatch.setenv("ROWCALL_DATABASE", str(demo_books.engine.url))
    settings.cache_clear()
    yield lambda *words, **options: CliRunner().invoke(main, [str(one) for one in words], **options)
    settings.cache_clear()


def test_a_backup_is_written_and_said_to_verify(rowcall, tmp_path):
    said = rowcall("backup", tmp_path / "farm.backup")
    assert "it opens and verifies" in said.output
    assert "is there already" in rowcall("backup", tmp_path / "farm.backup").output


def test_restoring_over_a_farm_is_refused_and_asked_about(rowcall, tmp_path):
    rowcall("backup", tmp_path / "farm.backup")
    assert rowcall("restore", tmp_path / "nothing here").exit_code != 0
    assert rowcall("restore", tmp_path / "farm.backup", "--replace", input="n\n").exit_code == 1


def test_an_export_says_where_it_is_and_that_it_names_people(rowcall, tmp_path):
    said = rowcall("export", tmp_path / "out")
    assert "They name people" in said.output
    assert "is not empty" in rowcall("export", tmp_path / "out").output


def test_erasing_asks_says_whom_and_can_be_left_alone(rowcall):
    said = rowcall("erase", "dolores", input="n\n")
    assert "Erase Dolores" in said.output
    assert "dolores" in rowcall("people").output


def test_erasing_is_done_when_meant_and_the_books_verify(rowcall):
    assert rowcall("erase", "dolores", "--yes").output.startswith("Erased.")
    assert "dolores" not in rowcall("people").output
    assert "say what the journal says" in rowcall("verify").output
    assert "nobody is called 'dolores'" in rowcall("erase", "dolores").output


def test_a_trace_prints_each_step(rowcall, demo_books):
    Line(demo_books).text("walt", "main ph 5.9")
    said = rowcall("trace", "d1").output
    assert [step for step in ("received", "record: reading", "recorded", "placed") if step not in said] == []
    assert "there is no text 'SM0'" in rowcall("trace", "SM0").output


def test_the_books_are_still_open_to_others_after_all_that(rowcall, demo_books, tmp_path):
    rowcall("backup", tmp_path / "farm.backup")
    rowcall("erase", "bea", "--yes")
    books = Books(str(demo_books.engine.url))
    assert Line(books).text("walt", "main ph 5.9")[0].startswith("Noted")
    books.close()
