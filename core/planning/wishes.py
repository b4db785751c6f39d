"""Why a wish cannot be met, and what would: found by reckoning the plan again with more of one thing, never guessed.

The relaxation is enough for that: it is within a fraction of a percent of the plan, and quick.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from core.planning.courses import sown_course
from core.planning.formulation import Formulation, More, formulate
from core.planning.model import TO_SPARE, Plan, Problem, Room, Short
from core.planning.solver import Solution, relax

WORTH_SAYING = 0.5
"""Less than this of a head missing is rounding."""

HELPS = 0.9
"""What gives this share of the heads that can be had at all is said to do."""


@dataclass(frozen=True, slots=True)
class TooLate:
    """Heads of a crop missing before anything sown now is ready, on `ready`; they had to be sown by `sow_by`."""

    crop: str
    heads: float
    ready: date
    sow_by: date


@dataclass(frozen=True, slots=True)
class Help:
    """`amount` more of something in every week (cells, sites, minutes) gives `heads` more over the plan."""

    what: More
    amount: float
    heads: float


@dataclass(frozen=True, slots=True)
class CropLess:
    """Without this crop, `heads` more of the others."""

    crop: str
    heads: float


@dataclass(frozen=True, slots=True)
class Reasons:
    """Why a plan falls short.

    late: what no room or work could mend. tight: heads missing for want of room or work. helps: each alone gives nearly
    all of them, the least first. crop_less: the crop without which most of the others' are met, where there is one.
    """

    late: tuple[TooLate, ...]
    tight: float
    helps: tuple[Help, ...]
    crop_less: CropLess | None


def reasons(problem: Problem, plan: Plan) -> Reasons:
    """Why the wishes of a plan that was made for a problem cannot be met, and what would help."""
    if not plan.wanted_short:
        return Reasons((), 0.0, (), None)
    least = _missing(formulate(replace(problem, room=_endless(problem))))
    late = tuple(_too_late(problem, least))
    tight = plan.missing - sum(least.values())
    if tight < WORTH_SAYING:
        return Reasons(late, 0.0, (), None)
    helps = [one for what in ("tower", "shelf", "cover", "minutes") if (one := _help(problem, what, tight))]
    return Reasons(late, tight, tuple(helps), _crop_less(problem, tight))


def next_short(plan: Plan) -> Short | None:
    """The first wish that is short, the most wanted and the largest of its week."""
    wanted = [one for one in plan.wanted_short if one.heads >= 1]
    return min(wanted, key=lambda one: (one.demand.week, one.demand.priority, -one.heads), default=None)


def _missing(model: Formulation) -> dict[tuple[str, int], float]:
    return _short_of(model, relax(model.programme))


def _short_of(model: Formulation, found: Solution) -> dict[tuple[str, int], float]:
    """Heads missing by crop and week."""
    missing: dict[tuple[str, int], float] = {}
    for wish, column in model.short:
        if wish.priority >= TO_SPARE:
            continue
        at = (wish.crop, wish.week)
        missing[at] = missing.get(at, 0.0) + found.values[column]
    return missing


def _endless(problem: Problem) -> Room:
    """As much of everything as anyone could fill."""
    most = 10 * sum(one.heads for one in problem.demand) + sum(one.plants for one in problem.standing)
    week = (most,) * problem.weeks
    return Room(cover_cells=week, shelf_cells=week, tower_sites=week)


def _too_late(problem: Problem, least: Mapping[tuple[str, int], float]) -> Iterator[TooLate]:
    """By crop, what is missing in weeks before its first sowing is ready."""
    for crop in problem.crops:
        first = next((week for week in range(problem.weeks) if week not in problem.closed), 0)
        course = sown_course(problem, crop, first)
        early = [week for week in range(min(course.ready // 7, problem.weeks)) if least.get((crop.slug, week), 0) >= 1]
        if early:
            heads = sum(least[crop.slug, week] for week in early)
            start, days = problem.monday(early[0]), crop.seed_to_cut_days
            ready = problem.start + timedelta(days=course.ready)
            yield TooLate(crop.slug, heads, ready, start - timedelta(days=days))


def _help(problem: Problem, what: More, tight: float) -> Help | None:
    """The least of something that gives nearly all that is missing for want of room; None where it does not."""
    model = formulate(problem, what)
    before, found = sum(_missing(formulate(problem)).values()), relax(model.programme)
    gained = before - sum(_short_of(model, found).values())
    amount = found.values[model.more[what]]
    return Help(what, math.ceil(amount - 1e-6), gained) if gained >= HELPS * tight and amount > 1e-6 else None


def _crop_less(problem: Problem, tight: float) -> CropLess | None:
    """The crop whose place the others need most, where it would give them half of what they miss."""
    whole, slugs = _missing(formulate(problem)), [crop.slug for crop in problem.crops]
    found = [CropLess(slug, _gained_without(problem, slug, whole)) for slug in slugs if len(slugs) > 1]
    best = max(found, key=lambda one: one.heads, default=None)
    return best if best and best.heads >= tight / 2 else None


def _gained_without(problem: Problem, slug: str, before: Mapping[tuple[str, int], float]) -> float:
    rest = replace(
        problem,
        crops=tuple(one for one in problem.crops if one.slug != slug),
        standing=tuple(one for one in problem.standing if one.crop != slug),
        demand=tuple(one for one in problem.demand if one.crop != slug),
    )
    after = _missing(formulate(rest))
    return sum(heads for (crop, _), heads in before.items() if crop != slug) - sum(after.values())
