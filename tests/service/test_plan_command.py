"""`rowcall plan` as a person would run it."""

import json

import pytest


@pytest.fixture
def plan(rowcall):
    """`rowcall plan` as of a Monday."""
    return lambda *words: rowcall("plan", "--date", "2026-05-04", *words)


def test_the_plan_is_shown_with_its_proof(plan):
    lines = plan("--weeks", "3").output.splitlines()
    assert lines[0].split()[-6:] == ["May", "04", "May", "11", "May", "18"]
    assert any(line.startswith("26 weeks planned in") and "gap" in line for line in lines)


def test_programs_get_the_whole_plan(plan):
    made = json.loads(plan("--json").output)
    assert (made["start"], len(made["sow"]["kale"])) == ("2026-05-04", 26)
    assert made["bound"] <= made["cost"]


def test_a_change_is_told_in_words_and_keeps_nothing(plan):
    assert "kale: " in plan("--what-if", "we double the kale").output
    assert set(json.loads(plan("--what-if", "we lose A1-A4", "--json").output)) >= {"missing", "heads", "gap"}


def test_a_change_that_is_not_understood_is_answered_with_how_to_write_it(plan):
    result = plan("--what-if", "purple cows")
    assert result.exit_code == 2
    assert "write it like" in result.output
