"""`rowcall emergency`: the number that is named when somebody is hurt."""

import pytest
from click.testing import CliRunner

from service.cli import main
from service.settings import settings


@pytest.fixture
def run(demo_books, monkeypatch):
    monkeypatch.setenv("ROWCALL_DATABASE", str(demo_books.engine.url))
    settings.cache_clear()
    yield lambda *words: CliRunner().invoke(main, ["emergency", *words])
    settings.cache_clear()


def test_the_number_of_the_country_is_named_until_the_farm_sets_its_own(run):
    assert run().output == "When somebody is hurt, texts name 911.\n"
    assert run("112").output == "When somebody is hurt, texts name 112.\n"
    assert run().output == "When somebody is hurt, texts name 112.\n"
    assert run("--usual").output == "When somebody is hurt, texts name 911.\n"


def test_what_is_no_number_is_refused(run):
    refused = run("ambulance")
    assert refused.exit_code == 2
    assert "no number to call" in refused.output
