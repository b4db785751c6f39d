"""`rowcall plan` as a person would run it."""

import json

import pytest
from click.testing import CliRunner

from service.cli import main
from service.settings import settings
from tests import demo_farm


@pytest.fixture
def rowcall(demo_template, tmp_path, monkeypatch):
    demo_farm.copy(demo_template, tmp_path / "farm.db").close()
    monkeypatch.setenv("ROWCALL_DATABASE", f"sqlite:///{tmp_path}/farm.db")
    settings.cache_clear()
    yield lambda *words: CliRunner().invoke(main, ("plan", "--date", "2026-05-04", *words))
    settings.cache_clear()


def test_the_plan_is_shown_with_its_proof(rowcall):
    lines = rowcall("--weeks", "3").output.splitlines()
    assert lines[0].split()[-6:] == ["May", "04", "May", "11", "May", "18"]
    assert any(line.startswith("26 weeks planned in") and "gap" in line for line in lines)


def test_programs_get_the_whole_plan(rowcall):
    made = json.loads(rowcall("--json").output)
    assert (made["start"], len(made["sow"]["kale"])) == ("2026-05-04", 26)
    assert made["bound"] <= made["cost"]


def test_a_change_is_told_in_words_and_keeps_nothing(rowcall):
    assert "kale: " in rowcall("--what-if", "we double the kale").output
    assert set(json.loads(rowcall("--what-if", "we lose A1-A4", "--json").output)) >= {"missing", "heads", "gap"}


def test_a_change_that_is_not_understood_is_answered_with_how_to_write_it(rowcall):
    result = rowcall("--what-if", "purple cows")
    assert result.exit_code == 2
    assert "write it like" in result.output
