"""Answers to what was asked last: what is a yes, what drops the question, and what is about something else."""

import pytest

from core.notes import Harvest
from service.understanding import Asked, Context

DRAFT = Harvest(crop="kale", count=250, places=("C1",))
CONFIRM = Context(asked=Asked("confirm", draft=DRAFT))
COUNT = Context(asked=Asked("count", draft=Harvest(crop="kale")))


@pytest.mark.parametrize("text", ["yes", "yep that's right", "yes 250", "si de la C1", "ok thanks"])
def test_a_yes_records_what_was_put(read, text):
    assert read(text, context=CONFIRM).notes == (DRAFT,)


@pytest.mark.parametrize(
    "text",
    [
        "I'm coming saturday",
        "yes see you saturday",
        "see you at 4",
        "ok 9am works",
        "ok mint then",
        "sure, in C4",
        "yes 25",
        "ill be there",
        "claro, nos vemos a las 4",
    ],
)
def test_a_yes_to_something_else_records_nothing_of_what_was_put(read, text):
    assert DRAFT not in read(text, context=CONFIRM).notes


@pytest.mark.parametrize("context", [CONFIRM, COUNT])
@pytest.mark.parametrize(
    "text", ["cancelar", "cancel that", "never mind that one", "olvidalo", "dejalo asi", "mejor no"]
)
def test_words_that_let_go_of_the_question_take_it_back(read, text, context):
    assert read(text, context=context).record()["notes"] == [{"act": "correct", "undo": True}]


def test_the_hour_of_a_coming_is_no_count(read):
    assert [one.act for one in read("im coming saturday at 9", context=COUNT).notes] == ["free"]


def test_a_count_stands_in_the_first_sentence_and_talk_after_it(read):
    text = "It was three dozen. I know because the fellow gave me three egg cartons to put them in"
    assert read(text, context=COUNT).notes == (Harvest(crop="kale", count=36),)
