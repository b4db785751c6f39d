"""One text, read: the rules that hold besides the labelled messages."""

import pytest

from core.notes import Harvest, Reading
from service.understanding import Asked, Context
from service.understanding.tokens import tokens, typed

ASKED_CROP = Context(asked=Asked("crop", draft=Harvest(count=9)))
ASKED_TANK = Context(asked=Asked("where", draft=Reading(measure="ph", value=6.1)))


def places(reading):
    return [note.places for note in reading.notes]


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("12 romaine b3-7", ("B3", "B4", "B5", "B6", "B7")),
        ("12 romaine A1 thru A4", ("A1", "A2", "A3", "A4")),
        ("saque 12 romanas de las torres C1 a C3", ("C1", "C2", "C3")),
        ("picked 12 romaine from A1, A2 & 3", ("A1", "A2", "A3")),
        ("picked 12 romaine from tower sea ten", ("C10",)),
        ("picked 12 romaine from tower D twenty two", ("D22",)),
        ("12hd romaine e9", ("E9",)),
    ],
)
def test_tower_codes_in_every_form(read, text, codes):
    assert places(read(text)) == [codes]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("picked a dozen romaine", 12),
        ("picked half a dozen romaine", 6),
        ("picked two dozen romaine", 24),
        ("picked a hundred and two romaine", 102),
        ("corte treinta y dos romanas", 32),
        ("saque media docena de romanas", 6),
        ("picked 12 no wait 14 romaine", 14),
        ("picked twenty-four romaine", 24),
    ],
)
def test_numbers_in_every_form(read, text, count):
    assert [note.count for note in read(text).notes] == [count]


@pytest.mark.parametrize("text", ["picked some romaine", "picked 10-12 romaine", "picked a couple romaine"])
def test_what_is_no_number_is_asked_back(read, text):
    assert read(text).verdict == "ask"
    assert read(text).missing == ("count",)


@pytest.mark.parametrize("text", ["12 kale from Z9", "picked 12 kale from A99"])
def test_a_tower_that_does_not_exist_is_asked_back_and_named(read, text):
    reading = read(text)
    assert (reading.verdict, reading.missing) == ("ask", ("where",))
    assert reading.unknown == (text.split()[-1],)


@pytest.mark.parametrize("text", ["STOP", "stop.", "Stop 🙏", "HELP", "unsubscribe", " start "])
def test_a_keyword_alone_is_the_carriers(read, text):
    assert read(text).verdict == "keyword"


@pytest.mark.parametrize("text", ["stop please", "take me off the list", "deja de mandarme mensajes"])
def test_consent_is_taken_back_in_plain_words(read, text):
    assert read(text).mute


def test_yes_answers_a_question_and_is_a_keyword_without_one(read):
    confirm = Context(asked=Asked("confirm", draft=Harvest(crop="kale", count=300)))
    assert read("YES").verdict == "keyword"
    assert read("YES", context=confirm).notes == (Harvest(crop="kale", count=300),)


def test_no_to_a_confirmation_records_nothing_and_says_so(read):
    confirm = Context(asked=Asked("confirm", draft=Harvest(crop="kale", count=300)))
    reading = read("no", context=confirm)
    assert (reading.verdict, reading.declined) == ("none", True)


def test_a_bare_word_answers_what_was_asked(read):
    assert read("kael", context=ASKED_CROP).notes == (Harvest(crop="kale", count=9),)
    assert read("the little one", context=ASKED_TANK).notes == (Reading(measure="ph", value=6.1, where="nursery"),)


def test_something_else_does_not_answer_what_was_asked(read):
    reading = read("60 labels left", context=Context(asked=Asked("count", draft=Harvest(crop="mint"))))
    assert [note.act for note in reading.notes] == ["stock"]


@pytest.mark.parametrize(
    "text",
    [
        "didn't cut the kale",
        "gonna pick 20 romaine tomorrow",
        "please pick 12 romaine from A1",
        "no corté la menta",
        "mañana corto 15 romanas",
        "we ate 3 kale for dinner",
    ],
)
def test_denials_plans_and_requests_are_no_reports(read, text):
    assert read(text).verdict == "none"


def test_what_is_complete_comes_with_what_must_be_asked(read):
    reading = read("ph 5.9, 12 romaine B3-4")
    assert reading.missing == ("where",)
    assert Harvest(crop="romaine", count=12, places=("B3", "B4")) in reading.notes


def test_the_language_of_a_text_is_told(read):
    assert read("picked 12 romaine").language == "en"
    assert read("corté 12 romanas en la A3").language == "es"


def test_tokens_keep_their_place_in_the_text_as_typed():
    text = typed("Corté 2½ kg… día")
    assert [text[one.start : one.end] for one in tokens(text)][:3] == ["Corté", "2.5", "kg"]
