"""What the farm says: the same in every language, in the phone alphabet that does not double the price of a text."""

import json
import re
import tomllib

import pytest

from core.crops import profiles
from service.segments import is_gsm
from tests.house.source import ROOT, files

FILES = list(files("service/words", suffix=".toml"))
WORDS = {
    language: {
        path.stem: tomllib.loads((ROOT / path).read_text("utf-8")) for path in FILES if path.parts[-2] == language
    }
    for language in sorted({path.parts[-2] for path in FILES})
}
PAGES = [path for path in files("service/board/words", suffix=".toml") if path.parts[-2] == "en"]
FARM = json.loads((ROOT / "fixtures" / "farm.json").read_text("utf-8"))


def leaves(data, path=""):
    """Every text in a file, with the keys that lead to it."""
    if isinstance(data, dict):
        for key, value in data.items():
            yield from leaves(value, f"{path}.{key}" if path else key)
    elif path.startswith(("phrasing.heard.", "phrasing.keywords.")):
        yield path, " ".join(data)  # what people say: as many words as the language has for it
    elif isinstance(data, list):
        for number, value in enumerate(data):
            yield from leaves(value, f"{path}.{number}")
    else:
        yield path, data


def values_in(sentence):
    """The names of the values a sentence is filled with, without their forms."""
    return {name.split(":")[0] for name in re.findall(r"\{([^{}]+)\}", str(sentence))}


def kinds_said():
    """Every kind of fact that the code makes by name, with the file that makes it; a part filled in later is a *."""
    for path in files("core", "service"):
        for kind in re.findall(r'\bfact\(\s*f?"([a-z_{}.]+)"', (ROOT / path).read_text("utf-8")):
            yield path, re.sub(r"\{.*?\}", "*", kind)


def test_every_fact_has_a_sentence():
    texts = {kind for area, sentences in WORDS["en"].items() if area != "phrasing" for kind in sentences}
    pages = {kind for path in PAGES for kind in tomllib.loads((ROOT / path).read_text("utf-8"))}
    unsaid = {
        f"{path}: {kind}"
        for path, kind in kinds_said()
        for said in [texts | pages if path.parts[:2] == ("service", "board") else texts]
        if not any(re.fullmatch(kind.replace("*", "[a-z_0-9]+"), one) for one in said)
    }
    assert list(kinds_said())
    assert unsaid == set()


@pytest.mark.parametrize("language", WORDS)
def test_a_kind_of_fact_has_one_sentence(language):
    """Two areas with the same kind would hide one of the two."""
    kinds = [kind for area, sentences in WORDS[language].items() if area != "phrasing" for kind in sentences]
    assert {kind for kind in kinds if kinds.count(kind) > 1} == set()


def test_the_farm_speaks_more_than_one_language():
    assert {"en", "es"} <= set(WORDS)


@pytest.mark.parametrize("language", WORDS)
def test_every_text_is_in_the_plain_phone_alphabet(language):
    """GSM 03.38; one letter outside it makes the whole text UCS-2, with 70 letters a segment in place of 160."""
    assert {path: text for path, text in leaves(WORDS[language]) if not is_gsm(str(text))} == {}


@pytest.mark.parametrize("language", WORDS)
def test_every_language_says_the_same_things(language):
    assert {path for path, _ in leaves(WORDS[language])} == {path for path, _ in leaves(WORDS["en"])}


@pytest.mark.parametrize("language", WORDS)
def test_a_sentence_is_filled_with_the_same_values_in_every_language(language):
    english = dict(leaves(WORDS["en"]))
    other = {path: values_in(text) for path, text in leaves(WORDS[language]) if path in english}
    assert {path for path, values in other.items() if values != values_in(english[path])} == set()


def test_what_the_farm_itself_calls_things_is_in_the_plain_phone_alphabet():
    crops = [names[0] for crop in profiles().values() for names in crop.names.values()]
    plurals = [plural for crop in profiles().values() for plural in crop.plurals.values()]
    named = [*FARM["tanks"], *FARM["recipients"], *FARM["supplies"]]
    things = [names[0] for one in named for names in one["names"].values()]
    assert [name for name in (*crops, *plurals, *things) if not is_gsm(name)] == []
