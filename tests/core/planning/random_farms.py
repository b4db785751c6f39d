"""Invented farms of any size for the planner, the same for the same seed."""

import math
import random
from dataclasses import replace
from datetime import date, timedelta

from core.planning.model import Crop, Demand, Problem, Room, Standing
from core.planning.sowing_plan import plan

MONDAY = date(2026, 5, 4)


def crop(draw: random.Random, name: str, *, regrows: bool) -> Crop:
    """A leafy crop or a herb within the days usual for them."""
    return Crop(
        slug=name,
        cover_days=draw.randint(2, 7),
        shelf_days=draw.randint(10, 21),
        tower_days=draw.randint(20, 35),
        regrow_days=draw.randint(10, 21) if regrows else None,
        cuts=draw.randint(2, 5) if regrows else 1,
        up=round(draw.uniform(0.7, 0.95), 2),
        shelf_keep=round(draw.uniform(0.92, 0.99), 2),
        tower_keep=round(draw.uniform(0.92, 0.99), 2),
        cut_keep=0.97,
        wait_weeks=draw.choice((0, 1, 1, 2)),
        sow_minutes=0.28,
        move_minutes=0.4,
        cut_minutes=0.75,
    )


def farm(seed: int, crops: int = 12, weeks: int = 26, *, tight: float | None = None) -> Problem:
    """A running farm with steady wishes; `tight` is the share of the sites needed that it has, drawn where None."""
    draw = random.Random(seed)
    grown = tuple(crop(draw, f"crop{n}", regrows=n % 3 == 2) for n in range(crops))
    weekly = {one.slug: draw.randint(10, 45) for one in grown}
    tight = tight if tight is not None else draw.choice((0.85, 0.95, 1.05, 1.3))
    stands = tuple(one for kind in grown for one in standing(draw, kind, weekly[kind.slug]))
    need = {where: sum(one.plants for one in stands if one.where == where) for where in ("cover", "shelf", "tower")}
    closed = frozenset(draw.sample(range(4, weeks), 1)) if weeks > 8 else frozenset()
    return Problem(
        today=MONDAY + timedelta(days=draw.randint(0, 6)),
        weeks=weeks,
        crops=grown,
        room=Room(
            cover_cells=(_covers(grown, weekly),) * weeks,
            shelf_cells=(int(1.4 * need["shelf"]),) * weeks,
            tower_sites=(int(tight * need["tower"]),) * weeks,
            minutes=(int(sum(weekly.values()) * draw.uniform(2.2, 3.6)),) * weeks,
        ),
        standing=stands,
        demand=tuple(
            Demand(crop=one.slug, week=week, heads=weekly[one.slug] * share, priority=priority, recipient=recipient)
            for one in grown
            for week in range(weeks)
            if week not in closed
            for share, priority, recipient in ((0.6, 1, "kitchen"), (0.4, 2, "school"))
        ),
        closed=closed,
        sow_weekday=draw.randint(0, 4),
    )


def within_reach(problem: Problem) -> Problem:
    """The same farm without the wishes that a first plan cannot meet."""
    short = {(one.demand.crop, one.demand.week) for one in plan(problem, tries=60).short}
    kept = tuple(one for one in problem.demand if (one.crop, one.week) not in short)
    return replace(problem, demand=kept)


def standing(draw: random.Random, kind: Crop, weekly: int) -> list[Standing]:
    """What a farm in its stride has of a crop: a batch for each week back, as far on as it is old."""
    plants = math.ceil(weekly / sum(kind.heads_a_plant(cut) for cut in range(kind.cuts)))
    life = kind.seed_to_cut_days + (kind.cuts - 1) * (kind.regrow_days or 0)
    ages = range(draw.randint(1, 7), life, 7)
    return [_batch(kind, plants, MONDAY - timedelta(days=age)) for age in ages]


def _batch(kind: Crop, plants: int, sown: date) -> Standing:
    age = (MONDAY - sown).days
    shelved, planted, ready = kind.cover_days, kind.cover_days + kind.shelf_days, kind.seed_to_cut_days
    if age < shelved:
        return Standing(crop=kind.slug, where="cover", plants=round(plants / kind.plants_a_plug), since=sown)
    if age < planted:
        return Standing(crop=kind.slug, where="shelf", plants=plants, since=sown + timedelta(days=shelved))
    cuts = 0 if age <= ready or not kind.regrow_days else 1 + (age - ready) // kind.regrow_days
    last = sown + timedelta(days=ready + (cuts - 1) * (kind.regrow_days or 0)) if cuts else None
    since = sown + timedelta(days=planted)
    return Standing(crop=kind.slug, where="tower", plants=plants, since=since, cuts=cuts, last_cut=last)


def _covers(grown: tuple[Crop, ...], weekly: dict[str, int]) -> int:
    """Cells under cover for the plugs of all wishes and half as many again, as long as they stay there."""
    plugs = {one.slug: weekly[one.slug] / one.cuts / one.plants_a_plug for one in grown}
    return int(1.5 * sum(plugs[one.slug] * math.ceil(one.cover_days / 7) for one in grown))
