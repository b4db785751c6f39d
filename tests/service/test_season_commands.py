"""`rowcall forecast` and `rowcall simulate`, run as an operator would."""

import json

import pytest
from click.testing import CliRunner
from PIL import Image

from core.books.tables import Target
from service.cli import main
from service.settings import settings
from tests import demo_farm
from tests.demo_farm import FARM


@pytest.fixture
def farm(demo_template, tmp_path, monkeypatch):
    """The books of a demo farm of one's own; its address is that of the settings."""
    books = demo_farm.copy(demo_template, tmp_path / "farm.db")
    monkeypatch.setenv("ROWCALL_DATABASE", books.engine.url.render_as_string(hide_password=False))
    settings.cache_clear()
    yield books
    settings.cache_clear()
    books.close()


def rowcall(*words):
    return CliRunner().invoke(main, words)


def test_the_forecast_is_a_table_by_week_and_crop(farm):
    shown = rowcall("forecast", "--weeks", "3", "--date", "2026-05-04").output.splitlines()
    assert shown[0].split() == ["week", "of", "May", "04", "May", "11", "May", "18"]
    assert any(line.startswith("kale") for line in shown)
    assert shown[-2].startswith("all")
    assert "4 times in 5" in shown[-1]


def test_the_forecast_for_programs_has_low_middle_and_high(farm):
    rows = json.loads(rowcall("forecast", "--weeks", "2", "--date", "2026-05-04", "--json").output)
    assert {row["week_of"] for row in rows} == {"2026-05-04", "2026-05-11"}
    assert all(row["low"] <= row["middle"] <= row["high"] for row in rows)
    assert any(row["high"] for row in rows)


def test_seasons_are_compared_and_drawn(farm, tmp_path):
    picture = tmp_path / "seasons.png"
    played = rowcall("simulate", "--seasons", "1", "--weeks", "12", "--plot", str(picture))
    assert played.exit_code == 0, played.output
    for name in ("rule of thumb", "plan", "foresight"):
        assert any(line.startswith(name) and "%" in line for line in played.stdout.splitlines())
    assert f"The picture is in {picture}." in played.stderr
    with Image.open(picture) as drawn:
        assert drawn.size[0] > 1000


def test_seasons_for_programs_are_json_and_nothing_else(farm):
    played = rowcall("simulate", "--seasons", "2", "--weeks", "8", "--json")
    scores = json.loads(played.stdout)
    assert set(scores) == {"rule of thumb", "plan", "foresight"}
    assert all(len(one) == 2 for one in scores.values())
    assert all(0 <= season["targets_met"] <= 1 for one in scores.values() for season in one)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("forecast", "--weeks", "0"), "1<=x<=52"),
        (("forecast", "--date", "soon"), "write it like 2026-05-02"),
        (("simulate", "--plot", "seasons.doc"), "--plot writes .svg, .png, .pdf files"),
        (("simulate", "--seasons", "0"), "1<=x<=100"),
    ],
)
def test_what_cannot_be_done_is_said_in_words(farm, words, said):
    refused = rowcall(*words)
    assert refused.exit_code == 2
    assert said in refused.output


def test_a_farm_without_targets_is_told_how_to_set_one(farm):
    with farm.write() as session:
        for row in session.exec(Target.__table__.select()).all():
            session.delete(session.get_one(Target, (FARM, row.crop)))
    refused = rowcall("simulate")
    assert refused.exit_code == 2
    assert "text a target first" in refused.output
