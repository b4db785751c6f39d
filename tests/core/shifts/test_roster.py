"""The roster: rules are never broken, the optimum is one, promises hold, and a repair moves nobody it need not."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import product

import pytest

from core.shifts.formulation import formulate
from core.shifts.model import Problem, Shift, Worker
from core.shifts.roster import repair, roster, stand_ins
from core.shifts.rules import against, faults
from tests.cbc import solved_by_cbc
from tests.core.shifts.cases import Case, problem

SATURDAY = datetime(2026, 5, 9, tzinfo=UTC)


def shift(name="sat", hour=9, hours=3, needed=2, day=SATURDAY, **other):
    start = day + timedelta(hours=hour)
    return Shift(name, start, start + timedelta(hours=hours), needed, **other)


def everybody(workers, *shifts, **other):
    able = {one.id: frozenset(who.id for who in workers) for one in shifts}
    return Problem(workers, shifts, able, **other)


def who(found, name="sat"):
    return found.on(name)


# The rules, one at a time


def test_only_who_can_come_is_placed():
    one = Problem([Worker(1), Worker(2)], [shift()], {"sat": frozenset({2})})
    assert who(roster(one)) == {2}
    assert roster(one).open == {"sat": 1}


def test_minors_are_never_without_an_adult():
    found = roster(everybody([Worker(1, minor=True), Worker(2, minor=True)], shift()))
    assert who(found) == set()


def test_an_adult_brings_in_as_many_minors_as_the_ratio_allows():
    people = [Worker(1), *(Worker(number, minor=True) for number in range(2, 7))]
    assert len(who(roster(everybody(people, shift(needed=6), minors_per_adult=2)))) == 3
    assert len(who(roster(everybody(people, shift(needed=6), minors_per_adult=3)))) == 4


def test_unsafe_work_is_for_adults_alone():
    people = [Worker(1), Worker(2, minor=True), Worker(3)]
    assert who(roster(everybody(people, shift(needed=3, unsafe=True)))) == {1, 3}


def test_nobody_is_in_two_places_at_once():
    shifts = shift("a", 9, 3, 1), shift("b", 11, 3, 1)
    found = roster(everybody([Worker(1)], *shifts))
    assert len(found.places) == 1


def test_two_shifts_on_one_day_are_had_by_one_person_where_the_day_is_long_enough():
    shifts = shift("a", 8, 3, 1), shift("b", 11, 3, 1)
    assert len(roster(everybody([Worker(1, most_day_min=360)], *shifts)).places) == 2
    assert len(roster(everybody([Worker(1, most_day_min=300)], *shifts)).places) == 1


def test_there_is_a_nights_rest_between_days():
    late, early = shift("late", 18, 4, 1), shift("early", 7, 2, 1, SATURDAY + timedelta(days=1))
    assert len(roster(everybody([Worker(1)], late, early)).places) == 1
    assert len(roster(everybody([Worker(1)], late, early, rest=timedelta(hours=9))).places) == 2


def test_nobody_works_longer_in_a_week_than_they_may():
    shifts = [shift(f"d{day}", needed=1, day=SATURDAY - timedelta(days=day)) for day in range(4)]
    assert len(roster(everybody([Worker(1, most_week_min=400)], *shifts)).places) == 2


def test_nobody_comes_more_often_than_they_want():
    shifts = [shift(f"d{day}", needed=1, day=SATURDAY - timedelta(days=day)) for day in range(4)]
    assert len(roster(everybody([Worker(1, most_shifts=1)], *shifts)).places) == 1


# What is better


def test_somebody_with_the_skill_is_placed_where_it_is_needed():
    people = [Worker(1), Worker(2), Worker(3, skills=frozenset({"acids"}), given_min=2000)]
    found = roster(everybody(people, shift(needed=1, skills={"acids": 1})))
    assert who(found) == {3}
    assert found.unskilled == {}


def test_a_skill_nobody_has_is_named_and_the_shift_filled_all_the_same():
    found = roster(everybody([Worker(1)], shift(needed=1, skills={"acids": 1})))
    assert (who(found), found.unskilled) == ({1}, {("sat", "acids"): 1})


def test_a_newcomer_is_put_beside_an_old_hand():
    people = [Worker(1, newcomer=True), Worker(2, newcomer=True), Worker(3, given_min=1800)]
    assert 3 in who(roster(everybody(people, shift())))


def test_who_was_given_the_smallest_share_of_what_they_asked_for_comes_first():
    people = [Worker(1, asked_min=600, given_min=300), Worker(2, asked_min=2400, given_min=300)]
    assert who(roster(everybody(people, shift(needed=1)))) == {2}


def test_those_who_like_to_be_together_are_and_those_who_do_not_are_not():
    people = [Worker(1, beside=frozenset({3})), Worker(2), Worker(3)]
    assert who(roster(everybody(people, shift()))) == {1, 3}
    people = [Worker(1, apart=frozenset({3})), Worker(2, given_min=400), Worker(3)]
    assert who(roster(everybody(people, shift()))) != {1, 3}


def test_a_promise_is_kept_for_any_wish_but_not_for_an_open_place():
    people = [Worker(1, given_min=2400), Worker(2, asked_min=9000)]
    promised = everybody(people, shift(needed=1), promised=frozenset({(1, "sat")}))
    assert who(roster(promised)) == {1}
    sat, sun = shift(needed=1), shift("sun", needed=1, day=SATURDAY + timedelta(days=1))
    able = {"sat": frozenset({1, 2}), "sun": frozenset({1})}
    people = [replace(one, most_shifts=1) for one in people]
    moved = Problem(people, [sat, sun], able, promised=frozenset({(1, "sat")}))
    assert roster(moved).places == {(1, "sun"), (2, "sat")}


# Over random farms


@pytest.mark.parametrize("seed", range(12))
def test_no_rule_is_broken_and_the_optimum_is_proved(seed):
    case = problem(Case(seed, people=25, shifts=12))
    found = roster(case)
    assert faults(case, found.places) == []
    assert found.proven
    for name, missing in found.open.items():
        assert len(found.on(name)) == case.shift[name].needed - missing


def cost_of(case, places):
    """What a roster comes to: its places settled in the programme, everything else as cheap as it can be."""
    import highspy

    from core.planning import solver

    model = formulate(case)
    program = model.programme
    for place, column in model.place.items():
        program.lows[column] = program.highs[column] = float(place in places)
    relaxed = solver._solver()
    relaxed.passModel(solver._model(program, relaxed=True))
    relaxed.run()
    return (
        relaxed.getInfo().objective_function_value
        if relaxed.getModelStatus() == highspy.HighsModelStatus.kOptimal
        else None
    )


def every_roster(case):
    """All rosters without a fault; nobody more on a shift than needed."""
    pairs = [(who, one.id) for one in case.shifts for who in sorted(case.able[one.id])]
    for chosen in product((False, True), repeat=len(pairs)):
        places = frozenset(pair for pair, taken in zip(pairs, chosen, strict=True) if taken)
        crowded = any(sum(what == one.id for _, what in places) > one.needed for one in case.shifts)
        if not crowded and not faults(case, places):
            yield places


@pytest.mark.parametrize("seed", range(6))
def test_no_roster_of_all_there_are_is_better(seed):
    """Brute force over every subset of the places."""
    case = problem(Case(seed, people=5, shifts=3, free=0.55, needed=(1, 2)))
    found = roster(case)
    costs = [cost_of(case, places) for places in every_roster(case)]
    assert None not in costs
    assert found.cost == pytest.approx(min(costs), abs=1e-6)


@pytest.mark.parametrize("seed", range(3))
def test_a_second_solver_finds_nothing_better(seed):
    """CBC by PuLP on the same programme; the COIN-OR branch-and-cut solver shares no code with HiGHS."""
    case = problem(Case(seed, people=15, shifts=8))
    assert solved_by_cbc(formulate(case).programme) == pytest.approx(roster(case).cost, abs=1e-4)


# Repair


@pytest.mark.parametrize("seed", range(6))
def test_a_repair_moves_nobody_where_somebody_can_step_in(seed):
    case = problem(Case(seed, people=25, shifts=12, free=0.5))
    # Without skills: for a missing skill somebody may be moved, which is worth more than a promise.
    case = replace(case, shifts=[replace(one, skills={}) for one in case.shifts])
    now = roster(case)
    place = sorted(now.places)[seed]
    mended = repair(case, now, place)
    assert faults(case.without(place), mended.places) == []
    if stand_ins(case.without(place), replace(now, places=now.places - {place}), place[1]):
        assert now.places - {place} <= mended.places
        assert place not in mended.places


def test_when_nobody_is_free_one_person_is_moved_and_another_takes_their_place():
    sat, sun = shift(needed=1), shift("sun", needed=1, day=SATURDAY + timedelta(days=1))
    people = [Worker(1), Worker(2, most_shifts=1), Worker(3)]
    able = {"sat": frozenset({1, 2}), "sun": frozenset({2, 3})}
    case = Problem(people, [sat, sun], able)
    now = replace(roster(case), places=frozenset({(1, "sat"), (2, "sun")}))
    assert repair(case, now, (1, "sat")).places == {(2, "sat"), (3, "sun")}


def test_who_can_step_in_breaks_no_rule():
    case = problem(Case(3, people=20, shifts=9))
    now = roster(case)
    for one in case.shifts:
        for person in stand_ins(case, now, one.id):
            assert against(case, now.places, (person, one.id)) == []
