"""How hard the farm's sentences are to read, by two published formulas; as a reader of about twelve can.

Flesch-Kincaid grade: Kincaid, J. P., Fishburne, R. P., Rogers, R. L., & Chissom, B. S. (1975). Derivation of new
readability formulas for Navy enlisted personnel, Research Branch Report 8-75:
0.39 * words / sentences + 11.8 * syllables / words - 15.59. Grade 6 is the school year of eleven- and twelve-year-olds.
Fernandez Huerta, J. (1959). Medidas sencillas de lecturabilidad, Consigna 214: ease of Spanish, as corrected by Law (2011):
206.84 - 60 * syllables / words - 1.02 * words / sentences; 60 and more is "normal", read by about twelve-year-olds.
Units of speech set off by a colon or semicolon count as sentences (Flesch, 1949, from memory). Syllables are counted as groups of vowels, in English without an e that is not heard.
"""

import re
import tomllib

import pytest

from tests.house.source import ROOT, files

GRADE, EASE = 7.0, 60.0
HARDEST_GRADE = 12.0
FILLED = "Sam"
"""What stands for every value: one short word."""

FILES = [path for path in files("service/words", suffix=".toml") if path.stem != "phrasing"]


def spoken(text):
    """A sentence as somebody reads it, each value filled with a short word, optional parts left out."""
    return re.sub(r"\{[^{}]*\}", FILLED, re.sub(r"\[[^\[\]]*\]", "", text))


def said(language):
    rows = {path.stem: tomllib.loads((ROOT / path).read_text("utf-8")) for path in FILES if path.parts[-2] == language}
    for area in rows.values():
        for text in area.values():
            yield from (map(spoken, text.values()) if isinstance(text, dict) else [spoken(text)])


def words(text):
    return re.findall(r"[^\W\d_]+", text)


def syllables(word, language):
    word = word.lower()
    if language == "en":
        word = re.sub(r"(?<=[^aeiouyl])e(?=s?$)|(?<=[^td])e(?=d$)", "", word)
    return max(1, len(re.findall(r"[aeiouyáéíóúü]+" if language == "en" else r"[aeiouáéíóúü]+", word)))


def figures(texts, language):
    """Words a sentence, and syllables a word."""
    sentences = sum(max(1, len(re.findall(r"[.!?;:]+(?:\s|$)", text))) for text in texts)
    found = [word for text in texts for word in words(text)]
    return len(found) / sentences, sum(syllables(one, language) for one in found) / len(found)


def grade(texts):
    a_sentence, a_word = figures(texts, "en")
    return 0.39 * a_sentence + 11.8 * a_word - 15.59


def ease(texts):
    a_sentence, a_word = figures(texts, "es")
    return 206.84 - 60 * a_word - 1.02 * a_sentence


def test_the_formula_gives_what_is_published_for_a_plain_sentence():
    """Six words, six syllables, one sentence: grade -1.45, the example of many handbooks (from memory)."""
    assert grade(["The cat sat on the mat."]) == pytest.approx(-1.45, abs=0.005)


@pytest.mark.parametrize(
    ("word", "n"), [("place", 1), ("table", 2), ("filled", 1), ("needed", 2), ("coordinator", 4), ("shifts", 1)]
)
def test_syllables_are_counted_as_they_are_heard(word, n):
    """Of "coordinator" one is lost: two vowels side by side count as one."""
    assert syllables(word, "en") == n


def test_what_is_hard_to_read_would_be_found():
    hard = (
        "Notwithstanding antecedent organisational considerations, availability confirmations necessitate verification."
    )
    assert grade([hard]) > HARDEST_GRADE


def test_english_sentences_are_for_a_reader_of_about_twelve():
    assert grade(list(said("en"))) <= GRADE


def test_spanish_sentences_are_for_a_reader_of_about_twelve():
    assert ease(list(said("es"))) >= EASE


def test_no_long_sentence_is_for_the_learned_alone():
    """Of twelve words and more; in shorter ones a single long name decides the figure."""
    hard = {text: round(grade([text]), 1) for text in said("en") if len(words(text)) >= 12}
    assert {text: at for text, at in hard.items() if at > HARDEST_GRADE} == {}
