"""What the plan says: what to sow this week, what will be short next, why, and what would help."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from math import ceil

from core.acts.answers.shortened import shortened
from core.acts.planning import make_plan
from core.acts.scene import Scene
from core.books import planning
from core.books import tasks as task_books
from core.notes import Ask
from core.outcome import Fact, Outcome, fact
from core.planning.model import Plan, Problem
from core.planning.wishes import Reasons, next_short, reasons
from core.tasks import trays_for

MOST_CROPS = 3
MOST_SOWINGS = 3


def plan(note: Ask, scene: Scene) -> Outcome:
    """What to sow this week, and what will be short next; or the next sowings of one crop. The plan made is kept."""
    targets = task_books.targets(scene.ledger)
    if not targets or (note.crop and note.crop not in targets):
        return Outcome((fact("no_targets", crop=note.crop),))
    problem, made = make_plan(scene.ledger, scene.vocabulary, scene.day)
    if note.crop:
        return Outcome((_of_crop(note.crop, made, scene),))
    return Outcome((_to_sow(scene), *shortage(problem, made, scene)))


def _to_sow(scene: Scene) -> Fact:
    left = planning.planned_to_sow(scene.ledger, scene.day) or {}
    if not left:
        return fact("plan_sown")
    shown, more = shortened(sorted(left, key=lambda crop: (-left[crop], crop)), MOST_CROPS)
    return fact("plan_sow", crops=tuple(_trays(crop, left[crop], scene) for crop in shown), more=more)


def _trays(crop: str, plugs: int, scene: Scene) -> Fact:
    return fact("to_sow_crop", crop=crop, trays=trays_for(plugs, scene.vocabulary.tray_cells))


def _of_crop(crop: str, made: Plan, scene: Scene) -> Fact:
    sowings = [(week, plugs) for week, plugs in enumerate(made.sow[crop]) if plugs]
    if not sowings:
        return fact("plan_no_sowing", crop=crop, day=made.start + timedelta(weeks=made.weeks))
    shown, more = shortened(sowings, MOST_SOWINGS)
    cells = scene.vocabulary.tray_cells
    weeks = tuple(
        fact("plan_in_week", trays=trays_for(plugs, cells), day=made.start + timedelta(weeks=week))
        for week, plugs in shown
    )
    return fact("plan_of_crop", crop=crop, weeks=weeks, more=more)


def shortage(problem: Problem, made: Plan, scene: Scene) -> Iterator[Fact]:
    """The next wish that is short, why, and what would help; or that all are met."""
    short = next_short(made)
    if short is None:
        yield fact("plan_met")
        return
    crop, monday = short.demand.crop, problem.monday(short.demand.week)
    found, amount = reasons(problem, made), {"crop": crop, "count": round(short.heads)}
    if any(one.crop == crop and monday < one.ready for one in found.late):
        yield fact("plan_too_late", amount=amount, day=monday)
        return
    yield fact("plan_short", amount=amount, day=monday)
    yield from _help(found, scene)


def _help(found: Reasons, scene: Scene) -> Iterator[Fact]:
    """What would help, in towers, trays or minutes; or the crop that takes the room."""
    if found.helps:
        one, words = found.helps[0], scene.vocabulary
        unit = {"tower": words.sites_per_tower, "shelf": words.tray_cells, "cover": words.tray_cells, "minutes": 1}
        yield fact(f"plan_help_{one.what}", n=ceil(one.amount / unit[one.what]))
    elif found.crop_less is not None:
        yield fact("plan_crop_less", crop=found.crop_less.crop, n=round(found.crop_less.heads))
