"""What is said of a trouble that is open: read only where one is, and about the one meant."""

import pytest

from core.notes import FollowUp, Trouble
from service.understanding import Asked, Context
from service.understanding.reading import OpenTrouble

LEAK = OpenTrouble(3, "leak", ("C10",), told=True)
PUMP = OpenTrouble(4, "pump", ("main",), told=True)
OLD = OpenTrouble(1, "algae", ("shelf2",))


def follow_ups(reading):
    return [(one.step, one.n) for one in reading.notes if isinstance(one, FollowUp)]


@pytest.mark.parametrize(
    ("text", "step"),
    [
        *(("on it", "take"), ("On it!", "take"), ("im on it", "take"), ("ok got it", "take"), ("I'll take it", "take")),
        *(("omw", "take"), ("voy", "take"), ("yo me encargo", "take"), ("ya voy", "take"), ("lo veo yo", "take")),
        *(("i got the leak", "take"), ("voy a la fuga", "take"), ("on it 3", "take")),
        *(("fixed", "fixed"), ("its fixed now", "fixed"), ("the leak is fixed", "fixed"), ("leak fixed", "fixed")),
        *(("fixed the leak at C10", "fixed"), ("stopped leaking", "fixed"), ("ya lo arreglé", "fixed")),
        *(("listo", "fixed"), ("arreglada la fuga", "fixed"), ("done with the leak", "fixed"), ("all done", "fixed")),
        *(("still the same", "still"), ("no better", "still"), ("sigue igual", "still"), ("not fixed yet", "still")),
    ],
)
def test_it_is_about_the_trouble_that_is_open(read, text, step):
    assert follow_ups(read(text, context=Context(troubles=(LEAK, OLD)))) == [(step, 3)]


@pytest.mark.parametrize("text", ["on it", "fixed", "voy", "the leak is fixed", "listo", "done", "still the same"])
def test_where_no_trouble_is_open_nothing_is_followed_up(read, text):
    assert follow_ups(read(text)) == []


@pytest.mark.parametrize("text", ["on it", "fixed", "voy", "all done"])
def test_an_old_trouble_is_never_meant_unless_it_is_named(read, text):
    assert follow_ups(read(text, context=Context(troubles=(OLD,)))) == []
    assert follow_ups(read("algae is fixed", context=Context(troubles=(OLD,)))) == [("fixed", 1)]


def test_of_two_that_could_be_meant_one_is_asked_about(read):
    reading = read("on it", context=Context(troubles=(LEAK, PUMP)))
    assert (reading.verdict, reading.missing) == ("ask", ("which",))


@pytest.mark.parametrize(("text", "n"), [("4", 4), ("the pump", 4), ("la fuga", 3), ("number 3", 3)])
def test_the_answer_names_it(read, text, n):
    asked = Asked("which", draft=FollowUp(step="take"))
    assert follow_ups(read(text, context=Context(troubles=(LEAK, PUMP), asked=asked))) == [("take", n)]


def test_fixed_is_about_what_its_sender_has(read):
    mine = OpenTrouble(4, "pump", ("main",), told=True, mine=True)
    assert follow_ups(read("fixed", context=Context(troubles=(LEAK, mine)))) == [("fixed", 4)]
    assert follow_ups(read("the leak is fixed", context=Context(troubles=(LEAK, mine)))) == [("fixed", 3)]


@pytest.mark.parametrize(
    "text",
    [
        *(
            "bea's hand is fixed",
            "picked 12 kale and done",
            "is the leak fixed?",
            "on it tuesday at 4",
            "voy el martes",
        ),
        *("voy a las 4", "coming saturday", "replaced 12 mint plugs in A1", "fixed my bike so i can come tuesday"),
    ],
)
def test_what_is_about_something_else_follows_nothing_up(read, text):
    assert follow_ups(read(text, context=Context(troubles=(LEAK,)))) == []


def test_a_new_trouble_elsewhere_is_a_new_report(read):
    reading = read("leak at D1", context=Context(troubles=(LEAK,)))
    assert reading.notes == (Trouble(kind="leak", where=("D1",)),)
