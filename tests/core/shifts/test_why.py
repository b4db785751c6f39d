"""Why a place stays open, and whom to ask: whoever is named would really fill it."""

import pytest

from core.shifts.model import Problem, Worker
from core.shifts.roster import roster
from core.shifts.rules import against
from core.shifts.why import Ask, granted, why_open
from tests.core.shifts.cases import Case, problem
from tests.core.shifts.test_roster import everybody, shift


def only(case):
    (found,) = why_open(case, roster(case))
    return found


def test_a_full_roster_has_nothing_to_explain():
    case = everybody([Worker(1), Worker(2)], shift())
    assert why_open(case, roster(case)) == []


def test_saturday_needs_one_more_adult():
    """Two minors could come if a second adult did."""
    people = [Worker(1), *(Worker(number, minor=True) for number in range(2, 6)), Worker(6)]
    case = Problem(people, [shift(needed=5)], {"sat": frozenset(range(1, 6))}, minors_per_adult=2)
    found = only(case)
    assert (found.missing, found.waiting_minors) == (2, 2)
    assert found.asks[0] == Ask(6, "adult")


def test_who_did_not_say_they_can_come_could_be_asked_to():
    case = Problem([Worker(1), Worker(2), Worker(3, given_min=2000)], [shift()], {"sat": frozenset({1})})
    assert only(case).asks == (Ask(2, "come"), Ask(3, "come"))
    assert only(case).reasons == {"not_able": 2}


@pytest.mark.parametrize(
    ("limits", "favour"),
    [
        ({"most_day_min": 100}, "longer_day"),
        ({"most_week_min": 100}, "longer_week"),
        ({"most_shifts": 0}, "one_more"),
    ],
)
def test_who_is_at_their_limit_could_be_asked_for_more(limits, favour):
    case = everybody([Worker(1), Worker(2, **limits)], shift())
    assert only(case).asks == (Ask(2, favour),)


def test_a_minor_is_never_asked_to_an_unsafe_shift():
    case = Problem([Worker(1), Worker(2, minor=True)], [shift(unsafe=True)], {"sat": frozenset({1})})
    assert only(case).asks == ()


def test_for_a_missing_skill_those_are_asked_who_have_it():
    people = [Worker(1), Worker(2), Worker(3, skills=frozenset({"acids"}))]
    case = Problem(people, [shift(needed=2, skills={"acids": 1})], {"sat": frozenset({1, 2})})
    found = only(case)
    assert (found.skill, found.missing) == ("acids", 0)
    assert found.asks == (Ask(3, "bring_skill"),)


@pytest.mark.parametrize("seed", range(8))
def test_everybody_named_would_fill_a_place_by_that_favour_alone(seed):
    case = problem(Case(seed, people=14, shifts=9, free=0.2))
    now = roster(case)
    for found in why_open(case, now):
        for ask in found.asks:
            place = (ask.worker, found.shift.id)
            assert against(case, now.places, place)
            assert against(granted(case, place, ask.favour), now.places, place) == []
