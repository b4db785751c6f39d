"""The roster: the best one there is, with the proof; and its repair when somebody cannot come."""

from __future__ import annotations

from dataclasses import replace

from core.planning.solver import Solution, prove
from core.shifts.formulation import Formulation, formulate
from core.shifts.model import Place, Problem, Roster
from core.shifts.rules import against

TIME_LIMIT_S = 10.0
REPAIR_LIMIT_S = 2.0


def roster(problem: Problem, time_limit_s: float = TIME_LIMIT_S) -> Roster:
    """Who works when.

    Args:
        problem: shifts, people, what was promised.
        time_limit_s: the best found by then is given, with its bound. [s]

    Returns:
        A roster that breaks no rule (`core.shifts.rules.faults`). Where a shift cannot be filled its places stay open.
    """
    model = formulate(problem)
    return _read(model, prove(model.programme, time_limit_s))


def repair(problem: Problem, now: Roster, given_up: Place, time_limit_s: float = REPAIR_LIMIT_S) -> Roster:
    """The roster after somebody has given up a place: as few other people as can be are moved.

    What everybody else was told counts as promised. Where one free person can simply step in, nobody is moved, and of
    those the one is taken that the weights like best.
    """
    kept = now.places - {given_up}
    return roster(replace(problem, promised=kept).without(given_up), time_limit_s)


def stand_ins(problem: Problem, now: Roster, shift: str) -> list[int]:
    """Who could step in on a shift as things are, without anybody being moved; in the order of their number."""
    there = now.on(shift)
    able = problem.able.get(shift, frozenset()) - there
    return sorted(who for who in able if who in problem.worker and not against(problem, now.places, (who, shift)))


def _read(model: Formulation, found: Solution) -> Roster:
    places = frozenset(place for place, at in model.place.items() if found.values[at] > 0.5)
    return Roster(
        places=places,
        open={shift: round(found.values[at]) for shift, at in model.open.items() if found.values[at] > 0.5},
        unskilled={key: round(found.values[at]) for key, at in model.unskilled.items() if found.values[at] > 0.5},
        cost=found.cost,
        bound=found.bound,
        seconds=found.seconds,
    )
