"""The roster as a mixed-integer programme.

Unknowns: place[w, s] is 1 where worker w is on shift s, and is there only where w can come and may. Then

    for each shift s           sum of place[., s] + open[s] = needed(s)
    for each skill k of s      sum of place[w, s] over w with k + unskilled[s, k] >= wanted(s, k)
    adults                     minors on s <= minors_per_adult x adults on s
    for each worker            at most one of each set of shifts that clash; minutes of each day and week; shifts in all
    newcomers                  place[w, s] - sum of old hands on s <= lone[w, s]
    wishes                     beside[v, w, s] <= place[v, s] and <= place[w, s]
                               place[v, s] + place[w, s] - 1 <= apart[v, w, s]
    fairness                   unfair[w] >= asked(w) x ((given + n shifts of usual length) / asked)^2, drawn by lines

The cost is weighed as in weights.toml. Clashes are written as cliques of shifts running at one time, which makes the
relaxation tight.
"""

from __future__ import annotations

import tomllib
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

from core.planning.programme import Programme, Terms
from core.shifts.model import Place, Problem, Shift, Worker

MOST_SHIFTS = 8
"""From so many shifts in the weeks planned on, each further one is held to be as unfair as the last."""


@cache
def weights() -> Mapping[str, Any]:
    """What is held to be how bad."""
    return tomllib.loads(Path(__file__).with_name("weights.toml").read_text("utf-8"))


@dataclass(slots=True)
class Formulation:
    """The programme, and which of its unknowns are places, open places and missing skills."""

    programme: Programme = field(default_factory=Programme)
    place: dict[Place, int] = field(default_factory=dict)
    open: dict[str, int] = field(default_factory=dict)
    unskilled: dict[tuple[str, str], int] = field(default_factory=dict)
    on: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))
    of: dict[int, list[str]] = field(default_factory=lambda: defaultdict(list))


def formulate(problem: Problem) -> Formulation:
    """The programme of a problem. It always has a solution: nobody placed, everything open."""
    model = Formulation()
    for shift in problem.shifts:
        _places(problem, model, shift)
    for shift in problem.shifts:
        _cover(problem, model, shift)
        _newcomers(problem, model, shift)
        _company(problem, model, shift)
    for worker in problem.workers:
        _limits(problem, model, worker)
        _fairness(problem, model, worker)
    return model


def _places(problem: Problem, model: Formulation, shift: Shift) -> None:
    for who in sorted(problem.able.get(shift.id, frozenset())):
        worker = problem.worker.get(who)
        if worker is None or (worker.minor and shift.unsafe):
            continue
        cost = -float(weights()["broken_promise"]) if (who, shift.id) in problem.promised else 0.0
        cost -= weights()["liked"] if shift.id in worker.likes else 0.0
        model.place[who, shift.id] = model.programme.column(cost, 1.0, whole=True)
        model.on[shift.id].append(who)
        model.of[who].append(shift.id)


def _cover(problem: Problem, model: Formulation, shift: Shift) -> None:
    programme, there = model.programme, model.on[shift.id]
    everyone: Terms = [(model.place[who, shift.id], 1.0) for who in there]
    model.open[shift.id] = programme.column(float(weights()["open_place"]))
    programme.row([*everyone, (model.open[shift.id], 1.0)], shift.needed, shift.needed)
    for skill, wanted in shift.skills.items():
        able = [(model.place[who, shift.id], 1.0) for who in there if skill in problem.worker[who].skills]
        missing = programme.column(float(weights()["open_skill"]))
        model.unskilled[shift.id, skill] = missing
        programme.row([*able, (missing, 1.0)], low=wanted)
    minors = [who for who in there if problem.worker[who].minor]
    if minors:
        ratio = -float(problem.minors_per_adult)
        programme.row(
            [(at, 1.0 if who in minors else ratio) for who, (at, _) in zip(there, everyone, strict=True)], high=0
        )


def _newcomers(problem: Problem, model: Formulation, shift: Shift) -> None:
    there = model.on[shift.id]
    old: Terms = [(model.place[who, shift.id], -1.0) for who in there if not problem.worker[who].newcomer]
    for who in there:
        if problem.worker[who].newcomer:
            lone = model.programme.column(float(weights()["lone_newcomer"]))
            model.programme.row([(model.place[who, shift.id], 1.0), *old, (lone, -1.0)], high=0)


def _company(problem: Problem, model: Formulation, shift: Shift) -> None:
    """Wishes about whom to be with; a pair counts once for each of the two who asked."""
    programme, there = model.programme, set(model.on[shift.id])
    for who in model.on[shift.id]:
        worker, own = problem.worker[who], model.place[who, shift.id]
        for other in sorted(worker.beside & there):
            both = programme.column(-float(weights()["together"]), 1.0)
            programme.row([(both, 1.0), (own, -1.0)], high=0)
            programme.row([(both, 1.0), (model.place[other, shift.id], -1.0)], high=0)
        for other in sorted(worker.apart & there):
            both = programme.column(float(weights()["apart"]))
            programme.row([(own, 1.0), (model.place[other, shift.id], 1.0), (both, -1.0)], high=1)


def _limits(problem: Problem, model: Formulation, worker: Worker) -> None:
    programme, own = model.programme, [problem.shift[one] for one in model.of[worker.id]]
    for clique in _cliques(problem, own):
        programme.row([(model.place[worker.id, one.id], 1.0) for one in clique], high=1)
    for key, most in (("day", worker.most_day_min), ("week", worker.most_week_min)):
        within: dict[Any, list[Shift]] = defaultdict(list)
        for shift in own:
            within[getattr(shift, key)].append(shift)
        for shifts in within.values():
            if sum(one.minutes for one in shifts) > most:
                programme.row([(model.place[worker.id, one.id], float(one.minutes)) for one in shifts], high=most)
    if worker.most_shifts is not None and len(own) > worker.most_shifts:
        programme.row([(model.place[worker.id, one.id], 1.0) for one in own], high=worker.most_shifts)


def _cliques(problem: Problem, own: list[Shift]) -> Iterator[list[Shift]]:
    """Sets of shifts of which nobody can have two, that together hold every pair that clashes."""
    ordered = sorted(own, key=lambda one: (one.starts_at, one.id))
    seen: list[set[str]] = []
    for at, shift in enumerate(ordered):
        clique = [shift]
        for other in ordered[at + 1 :]:
            if all(problem.clash(other, one) for one in clique):
                clique.append(other)
        names = {one.id for one in clique}
        if len(clique) > 1 and not any(names <= one for one in seen):
            seen.append(names)
            yield clique
        covered = names
        for other in ordered[at + 1 :]:
            if other.id not in covered and problem.clash(shift, other):
                yield [shift, other]


def _fairness(problem: Problem, model: Formulation, worker: Worker) -> None:
    """Shifts go first to those who were given the smallest share of what they asked for."""
    own = model.of[worker.id]
    if not own or worker.asked_min <= 0:
        return
    programme, usual = model.programme, _usual_minutes(problem)
    most = min(len(own), worker.most_shifts or MOST_SHIFTS, MOST_SHIFTS)
    cost = programme.column()
    programme.costs[cost] = 1.0
    held: Terms = [(model.place[worker.id, one], 1.0) for one in own]
    levels = [_unfairness(worker, shifts * usual) for shifts in range(most + 1)]
    for shifts, (low, high) in enumerate(pairwise(levels)):
        # The line through two neighbouring levels: cost >= low + (high - low) (held - shifts).
        rise = high - low
        programme.row([(cost, 1.0), *((at, -rise * one) for at, one in held)], low=low - levels[0] - rise * shifts)


def _unfairness(worker: Worker, minutes: float) -> float:
    share = (worker.given_min + minutes) / worker.asked_min
    return float(weights()["unfair"]) * worker.asked_min / 60 * share * share


def _usual_minutes(problem: Problem) -> float:
    return sum(one.minutes for one in problem.shifts) / len(problem.shifts)
