"""What holds whatever the text: no error, and nothing that the words do not say."""

import time

from hypothesis import given, settings
from hypothesis import strategies as st

from core.notes import Harvest
from service.demo import demo_vocabulary
from service.understanding import understand
from tests.scoring import load
from tests.service.understanding.conftest import WEDNESDAY
from tests.service.understanding.test_labelled import MESSAGES, reading_of

WORDS = demo_vocabulary()
PIECES = st.sampled_from((MESSAGES / "pieces.txt").read_text("utf-8").split("\n"))
"""Words and signs of the trade, one a line, that texts of nonsense are piled up from."""
LABELLED = load(*sorted(MESSAGES.glob("*.jsonl")))
NUMBERS = st.integers(min_value=2, max_value=400)


def read(text):
    return understand(text, sent=WEDNESDAY, sender="keisha", vocabulary=WORDS)


read("")  # a farm's words are put together at its first text, which no time limit of a later one should count


def without_words(record):
    """A record without what is cut from the text as typed."""
    return {
        **record,
        "notes": [
            {slot: value for slot, value in note.items() if slot not in ("words", "unit", "name")}
            for note in record["notes"]
        ],
    }


@given(st.text(max_size=400))
def test_no_text_raises(text):
    read(text)


@settings(deadline=None)
@given(st.lists(PIECES, max_size=60).map(" ".join))
def test_no_pile_of_farm_words_raises(text):
    read(text)


def test_odd_texts_are_nothing_to_write():
    for text in ("", " ", "\x00\x01\x02", "👍" * 70, "שלום מה שלומך היום", "مرحبا كيف حالك", "?" * 500, "." * 2000):
        assert read(text).verdict == "none", text


def test_two_thousand_characters_are_read_within_20_milliseconds():
    text = "picked 12 romaine from A1 and A2, ph main 5.9, cant come saturday, " * 30
    read(text)
    started = time.perf_counter()
    read(text[:2000])
    assert time.perf_counter() - started < 0.5  # generous: a loaded machine


@given(st.sampled_from(LABELLED))
def test_upper_case_changes_nothing(label):
    plain = without_words(reading_of(label, WORDS))
    assert without_words(reading_of({**label, "text": label["text"].upper()}, WORDS)) == plain


@given(st.sampled_from(LABELLED))
def test_a_greeting_changes_nothing(label):
    plain = reading_of(label, WORDS)
    if plain["verdict"] != "keyword":
        greeted = reading_of({**label, "text": f"Hello! {label['text']}"}, WORDS)
        assert without_words(greeted) == without_words(plain)


@given(st.sampled_from([one for one in LABELLED if not one["text"].rstrip().endswith(("?", "!"))]))
def test_please_changes_nothing(label):
    plain = reading_of(label, WORDS)
    if plain["verdict"] != "keyword":
        polite = reading_of({**label, "text": f"{label['text'].rstrip('.')} please"}, WORDS)
        assert without_words(polite) == without_words(plain)


@given(NUMBERS)
def test_one_number_never_becomes_another(number):
    for text in (f"picked {number} romaine", f"corte {number} romanas en la A3", f"{number} bunches of kale from D2"):
        assert [note.count for note in read(text).notes if isinstance(note, Harvest)] == [number]
