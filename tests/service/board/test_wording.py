"""Every page speaks every language, and says the same in each."""

import re
import tomllib
from datetime import date
from string import Formatter

import pytest

from service.board.filling import TEMPLATES
from service.board.wording import FOLDER, FRAME, PageSpeaker, languages, page_words
from service.demo import demo_vocabulary
from service.words import sentences
from service.words.forms import FORMS

PAGES = sorted(path.stem for path in (FOLDER / "en").glob("*.toml"))
SAID = re.compile(r"""\b(?:t|either)\(\s*"([a-z_]+)"\s*(~)?""")
SECOND = re.compile(r"""\beither\([^)]*?,\s*"([a-z_]+)\"""")


def leaves(tree, path=()):
    for key, value in tree.items():
        yield from leaves(value, (*path, key)) if isinstance(value, dict) else [((*path, key), value)]


def own(language, page):
    return tomllib.loads((FOLDER / language / f"{page}.toml").read_text("utf-8"))


def fields(said):
    return {(name, form) for _, name, form, _ in Formatter().parse(said) if name}


def test_the_pages_speak_the_languages_of_the_texts():
    assert {"en", "es"} <= set(languages())


@pytest.mark.parametrize("language", languages())
def test_every_language_has_every_page(language):
    assert sorted(path.stem for path in (FOLDER / language).glob("*.toml")) == PAGES


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("language", languages())
def test_every_language_says_the_same_things_filled_with_the_same_values(language, page):
    english, other = dict(leaves(own("en", page))), dict(leaves(own(language, page)))
    assert other.keys() == english.keys()
    assert {path for path in english if fields(other[path]) != fields(english[path])} == set()
    assert {form for said in other.values() for _, form in fields(said) if form} <= FORMS.keys()
    assert [path for path, said in other.items() if not said.strip()] == []


@pytest.mark.parametrize("page", [page for page in PAGES if page != FRAME])
def test_a_page_hides_no_sentence_of_the_frame_and_none_of_the_texts_it_may_need(page):
    assert own("en", page).keys() & own("en", FRAME).keys() == set()


@pytest.mark.parametrize("name", sorted(name for name in TEMPLATES.list_templates() if name.endswith(".html")))
def test_a_template_says_only_what_there_are_words_for(name):
    source, _, _ = TEMPLATES.loader.get_source(TEMPLATES, name)
    known = {*sentences("en"), *(key for page in PAGES for key in page_words("en", page))}
    said = {key for key, more in SAID.findall(source) if not more} | set(SECOND.findall(source))
    assert said - known == set()
    begun = {key for key, more in SAID.findall(source) if more}
    assert {key for key in begun if not any(one.startswith(key) for one in known)} == set()


@pytest.mark.parametrize("name", sorted(name for name in TEMPLATES.list_templates() if name.endswith(".html")))
def test_no_template_holds_words_script_or_style_of_its_own(name):
    source, _, _ = TEMPLATES.loader.get_source(TEMPLATES, name)
    source = re.sub(r"\{% block (kind|live) %\}.*?\{% endblock %\}", "", source)
    bare = re.sub(r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}", "", source, flags=re.DOTALL)
    assert re.search(r"<script(?![^>]*\bsrc=)|<style|\bstyle=|\bon[a-z]+=|javascript:|https?://", bare) is None
    text = re.sub(r"<[^>]*>|&\w+;", " ", bare, flags=re.DOTALL)
    assert re.findall(r"[A-Za-z]{3,}", text) == []


def test_a_page_has_every_letter_and_a_value_takes_the_forms_of_the_texts():
    speaker = PageSpeaker("es", "towers", demo_vocabulary(), date(2026, 5, 4))
    assert speaker.t("day_of", day=3, days=28) == "día 3 de 28"
    assert speaker.form("places", ["A1", "A2", "A3", "B7"]) == "A1-A3, B7"
    assert speaker.t("plants", n=1) == "1 planta"
    assert speaker.either("gone_eaten_by_hens", "gone_other") == "Ya no están"
