"""A language is one data file: another is read with no change of code."""

import tomllib
from dataclasses import replace

import pytest

from core.notes import Harvest, Reading
from service.understanding import lexicon, understand
from tests.service.understanding.conftest import WEDNESDAY

TOY = """
[act]
harvest = ["zapu", "zapi"]

[unit]
bunches = ["liki"]

[number]
12 = ["dosi"]

[join]
and = ["ke"]
from = ["fo"]

[thing]
tower = ["turi"]

[measure]
ph = ["sauri"]

[plain]
words = ["na", "te"]
"""


def forget():
    """Let the data files be read anew."""
    for kept in (lexicon.entries, lexicon._own_words, lexicon._shared, lexicon._telling):
        kept.cache_clear()


@pytest.fixture
def toy(tmp_path, monkeypatch, words):
    """The demo farm's words in a language that exists nowhere else."""
    (tmp_path / "zz.toml").write_text(TOY, "utf-8")
    monkeypatch.setattr(lexicon, "DATA", tmp_path)
    forget()
    yield replace(words, languages=("zz",))
    forget()


def test_a_third_language_needs_no_code(toy):
    def read(text):
        return understand(text, sent=WEDNESDAY, sender="walt", vocabulary=toy)

    assert read("zapu dosi liki kale fo turi D4").notes == (Harvest(crop="kale", count=12, places=("D4",)),)
    assert read("sauri main 5.9").notes == (Reading(measure="ph", value=5.9, where="main"),)
    assert read("zapu dosi kale").language == "zz"


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_phrase_of_a_language_is_plain_lower_case(language):
    with (lexicon.DATA / f"{language}.toml").open("rb") as file:
        tables = tomllib.load(file)
    odd = [
        phrase
        for family, table in tables.items()
        for phrases in table.values()
        for phrase in phrases
        if phrase != phrase.lower() or not phrase.strip() or "  " in phrase
    ]
    assert odd == []


def test_both_languages_know_the_same_families_of_meaning():
    english, spanish = (set(lexicon.entries(one)) - lexicon.RULES for one in ("en", "es"))
    assert spanish - english <= {"signs"}
    assert english - spanish == set()
