"""`rowcall roster` as a person would run it."""

import json

import pytest
from click.testing import CliRunner
from sqlmodel import select

from core.books.ledger import Ledger
from core.books.tables import Farm, KeptRoster
from service.cli import main
from service.settings import settings
from service.tables import Outbound
from tests import demo_farm

AT = ("--at", "2026-05-04T09:10")


@pytest.fixture
def books(demo_template, tmp_path, monkeypatch):
    books = demo_farm.copy(demo_template, tmp_path / "farm.db")
    monkeypatch.setenv("ROWCALL_DATABASE", f"sqlite:///{tmp_path}/farm.db")
    settings.cache_clear()
    yield books
    settings.cache_clear()
    books.close()


def rowcall(*words):
    return CliRunner().invoke(main, words)


def test_the_roster_is_shown_with_what_stays_open_and_its_proof(books):
    lines = rowcall("roster", *AT).output.splitlines()
    assert lines[0] == "Week of Mon May 11: 18 of 21 places filled"
    assert any(line.startswith("Open: Mon May 11 08:00, 1 too few.") for line in lines)
    assert any("could be asked to come" in line for line in lines)
    assert "gap 0.00 %" in lines[-1]


def test_a_roster_that_is_only_shown_is_kept_and_nobody_is_texted(books):
    rowcall("roster", *AT)
    with books.read() as session:
        assert [one.published for one in session.exec(select(KeptRoster))] == [False]
        assert session.exec(select(Outbound)).all() == []


def test_programs_get_the_whole_roster(books):
    made = json.loads(rowcall("roster", *AT, "--week", "2026-05-14", "--json").output)
    assert (made["week"], len(made["shifts"]), made["published"]) == ("2026-05-11", 8, False)
    assert made["bound"] <= made["cost"] + 1e-6
    assert {one["missing"] for one in made["shifts"]} == {0, 1}


def test_a_published_roster_is_written_down_and_texted_in_each_person_s_language(books):
    result = rowcall("roster", *AT, "--publish")
    assert result.output.splitlines()[-1] == "It is written down, and everybody on it is texted their shifts."
    with books.read() as session:
        texts = {one.phone: one.body for one in session.exec(select(Outbound))}
        assert Ledger(session, 1).differences() == []
    assert texts["+13125550102"].startswith("You are on: Mon May 11 8-10am; Tue May 12")
    assert texts["+13125550103"].startswith("Te toca: ")
    assert "+13125550107" not in texts  # Arlo has not agreed to be texted


def test_a_week_that_is_over_is_refused_in_words(books):
    result = rowcall("roster", *AT, "--week", "2026-04-06")
    assert (result.exit_code, result.output) == (1, "Error: The week of 2026-04-06 is over.\n")


def test_the_ratio_of_minors_to_adults_is_set(books):
    assert "At most 1 minors" in rowcall("minors-per-adult", "1").output
    with books.read() as session:
        assert session.get_one(Farm, 1).minors_per_adult == 1
