"""A word or two: what they ask, take back, confirm or add."""

import pytest

from core.notes import Harvest
from service.understanding import Asked, Context, ListedTask

LISTED = Context(tasks=(ListedTask(1, "harvest", "kale"), ListedTask(2, "sow", "mint")))
DRAFT = Harvest(crop="kale", count=24)


@pytest.mark.parametrize(
    ("text", "about"),
    [
        ("?", "help"),
        ("menu", "help"),
        ("tasks", "tasks"),
        ("TAREAS", "tasks"),
        ("my hours", "hours"),
        ("mis horas", "hours"),
        ("the plan?", "plan"),
        ("ready?", "ready"),
        ("my shift", "shift"),
        ("roster sat", "roster"),
        ("low?", "stock"),
    ],
)
def test_a_word_or_two_ask_by_themselves(read, text, about):
    reading = read(text)
    assert reading.verdict == "answer"
    assert [note.about for note in reading.notes] == [about]


@pytest.mark.parametrize("text", ["undo", "UNDO", "undo that", "deshacer"])
@pytest.mark.parametrize("context", [None, LISTED, Context(asked=Asked("count", draft=Harvest(crop="kale")))])
def test_undo_takes_back_whatever_else_is_going_on(read, text, context):
    assert [note.undo for note in read(text, context=context).notes] == [True]


@pytest.mark.parametrize("text", ["same one", "it's the same", "la misma", "no"])
def test_what_is_called_the_same_is_not_recorded_again(read, text):
    reading = read(text, context=Context(asked=Asked("confirm", draft=DRAFT)))
    assert reading.declined
    assert reading.notes == ()


@pytest.mark.parametrize("text", ["another one", "mine is another", "different", "es otra", "yes"])
def test_what_is_called_another_is_recorded(read, text):
    assert read(text, context=Context(asked=Asked("confirm", draft=DRAFT))).notes == (DRAFT,)


def test_an_answer_that_tells_more_than_was_asked_fills_the_rest(read):
    reading = read("12 bunches, F1 thru F3", context=Context(asked=Asked("count", draft=Harvest(crop="kale"))))
    assert reading.notes == (Harvest(crop="kale", count=12, places=("F1", "F2", "F3")),)


@pytest.mark.parametrize("text", ["1 done i think, or was it 2", "9 done"])
def test_a_task_that_is_not_sure_is_asked(read, text):
    reading = read(text, context=LISTED)
    assert reading.missing == ("which",)
