"""The rules no roster may break, looked at one place at a time and for a whole roster; the optimiser is not asked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from core.shifts.model import Place, Problem, Shift, Worker

Why = Literal["not_able", "unsafe", "needs_adult", "clash", "day_full", "week_full", "shifts_full"]
"""Why somebody cannot have a place: they cannot come; it is no work for a minor; there would be too few adults; it is
too near another shift of theirs; they would work too long that day, that week, or more often than they want to."""


@dataclass(frozen=True, slots=True)
class Fault:
    """A rule broken: why, by whom (None for a shift as a whole), on which shift."""

    why: Why
    worker: int | None
    shift: str


def against(problem: Problem, places: Iterable[Place], place: Place) -> list[Why]:
    """Every reason why somebody cannot be given a place beside those already given; none where they can."""
    taken = set(places) - {place}
    worker, shift = problem.worker[place[0]], problem.shift[place[1]]
    own = [problem.shift[what] for who, what in taken if who == worker.id]
    there = [problem.worker[who] for who, what in taken if what == shift.id]
    reasons: list[tuple[Why, bool]] = [
        ("not_able", worker.id not in problem.able.get(shift.id, frozenset())),
        ("unsafe", worker.minor and shift.unsafe),
        ("needs_adult", worker.minor and _too_few_adults(problem, [*there, worker])),
        ("clash", any(problem.clash(shift, other) for other in own)),
        ("day_full", _minutes(own, day=shift) + shift.minutes > worker.most_day_min),
        ("week_full", _minutes(own, week=shift) + shift.minutes > worker.most_week_min),
        ("shifts_full", worker.most_shifts is not None and len(own) >= worker.most_shifts),
    ]
    return [why for why, holds in reasons if holds]


def faults(problem: Problem, places: Iterable[Place]) -> list[Fault]:
    """Every rule that a whole roster breaks; none in a sound one."""
    given = list(places)
    found = [Fault(why, who, what) for who, what in given for why in against(problem, given, (who, what))]
    return [*found, *_unaccompanied(problem, given)]


def _unaccompanied(problem: Problem, given: list[Place]) -> Iterator[Fault]:
    """Shifts with too few adults for their minors, once each however many minors there are."""
    for shift in problem.shifts:
        there = [problem.worker[who] for who, what in given if what == shift.id]
        if _too_few_adults(problem, there):
            yield Fault("needs_adult", None, shift.id)


def _too_few_adults(problem: Problem, there: list[Worker]) -> bool:
    ages = Counter(one.minor for one in there)
    return ages[True] > problem.minors_per_adult * ages[False]


def _minutes(own: list[Shift], *, day: Shift | None = None, week: Shift | None = None) -> int:
    return sum(one.minutes for one in own if (day and one.day == day.day) or (week and one.week == week.week))
