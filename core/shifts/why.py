"""Why places stay open, and who could be asked for what: each answer tried out, none guessed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from core.shifts.model import Place, Problem, Roster, Shift, Worker
from core.shifts.rules import Why, against

Favour = Literal["come", "adult", "longer_day", "longer_week", "one_more", "bring_skill"]
"""What somebody could be asked: to come though they did not say they can; to come as the adult that lets minors come;
to work longer that day or that week; to take one shift more than they want; to come with a skill the shift lacks."""

FAVOURS: dict[Why, Favour] = {
    "not_able": "come",
    "day_full": "longer_day",
    "week_full": "longer_week",
    "shifts_full": "one_more",
}

MORE = ("longer_day", "longer_week", "one_more")
"""Favours beyond what somebody wants or is allowed: asked for last."""

MOST_ASKED = 3
"""People named for each shift."""


@dataclass(frozen=True, slots=True)
class Ask:
    """Somebody who could be asked a favour, which alone would fill a place."""

    worker: int
    favour: Favour


@dataclass(frozen=True, slots=True)
class Open:
    """Why a shift is not filled.

    missing: people too few. skill: one that too few of those on it have, or None. reasons: why everybody else is not on
    it, with how many that holds for; somebody counts for the first of their reasons. waiting_minors: minors who could
    come if there were an adult more. asks: who could be asked; to come before to do more than they want, and of those
    who was given the smallest share of the hours they asked for.
    """

    shift: Shift
    missing: int
    skill: str | None
    reasons: dict[Why, int]
    waiting_minors: int
    asks: tuple[Ask, ...]


def why_open(problem: Problem, roster: Roster) -> list[Open]:
    """Every shift with a place open or a skill missing, the first first."""
    lacking: dict[str, str | None] = dict.fromkeys(roster.open)
    for shift, skill in roster.unskilled:
        lacking[shift] = skill
    found = [_open(problem, roster, problem.shift[shift], skill) for shift, skill in lacking.items()]
    return sorted(found, key=lambda one: (one.shift.starts_at, one.shift.id))


def _open(problem: Problem, roster: Roster, shift: Shift, skill: str | None) -> Open:
    reasons: dict[Why, int] = {}
    minors = 0
    for worker in problem.workers:
        if worker.id in roster.on(shift.id):
            continue
        found = against(problem, roster.places, (worker.id, shift.id))
        if found:
            reasons[found[0]] = reasons.get(found[0], 0) + 1
        minors += found == ["needs_adult"]
    asks = sorted(_asks(problem, roster, shift, skill, adults_first=minors > 0), key=lambda ask: ask.favour in MORE)
    return Open(shift, roster.open.get(shift.id, 0), skill, reasons, minors, tuple(asks[:MOST_ASKED]))


def _asks(problem: Problem, roster: Roster, shift: Shift, skill: str | None, *, adults_first: bool) -> Iterator[Ask]:
    """Those of whom one favour alone would do, tried out on the roster as it is."""
    missing_people = shift.id in roster.open
    for worker in _least_given_first(problem.workers):
        unfit = skill and not missing_people and skill not in worker.skills
        if unfit or worker.id in roster.on(shift.id) or (worker.id, shift.id) in problem.cannot:
            continue
        found = against(problem, roster.places, (worker.id, shift.id))
        favour = FAVOURS.get(found[0]) if len(found) == 1 else None
        if favour is None or not _would_do(problem, roster, (worker.id, shift.id), favour):
            continue
        if favour == "come" and adults_first and not worker.minor:
            favour = "adult"
        elif favour == "come" and skill and skill in worker.skills:
            favour = "bring_skill"
        yield Ask(worker.id, favour)


def _would_do(problem: Problem, roster: Roster, place: Place, favour: Favour) -> bool:
    return not against(granted(problem, place, favour), roster.places, place)


def granted(problem: Problem, place: Place, favour: Favour) -> Problem:
    """The problem as it would be if somebody did what they are asked for a place."""
    who, what = place
    if favour in ("come", "adult", "bring_skill"):
        return replace(problem, able={**problem.able, what: problem.able.get(what, frozenset()) | {who}})
    minutes, worker = problem.shift[what].minutes, problem.worker[who]
    more = {
        "longer_day": {"most_day_min": worker.most_day_min + minutes},
        "longer_week": {"most_week_min": worker.most_week_min + minutes},
        "one_more": {"most_shifts": (worker.most_shifts or 0) + 1},
    }[favour]
    willing = replace(worker, **more)  # type: ignore[arg-type]
    return replace(problem, workers=[willing if one.id == who else one for one in problem.workers])


def _least_given_first(workers: Iterable[Worker]) -> list[Worker]:
    return sorted(workers, key=lambda one: (one.given_min / max(one.asked_min, 1.0), one.id))
