"""The sowing plan of a farm: its books as the planner takes them, and the plan kept for the coming weeks."""

from __future__ import annotations

import tomllib
from collections import defaultdict
from collections.abc import Iterator, Mapping
from datetime import date, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

from core.acts.forecast import growths, standing
from core.books import crew, growing, harvests, planning, tasks
from core.books.ledger import Ledger
from core.books.tables import Crop as CropRow
from core.books.tables import SowingPlan
from core.calendar import week
from core.crops import CropProfile
from core.places import LIVES, OUT
from core.planning.growth import Growth, as_planned
from core.planning.model import TO_SPARE, Crop, Demand, Plan, Problem, Room
from core.planning.sowing_plan import plan
from core.sizing import sizes
from core.vocabulary import Vocabulary

TRIES = 60
"""A plan is made while somebody waits for the answer, and is the same whenever it is asked for."""


@cache
def habits() -> Mapping[str, Any]:
    """How the planner takes a farm where its books say nothing (planning.toml)."""
    return tomllib.loads(Path(__file__).with_suffix(".toml").read_text("utf-8"))


def make_plan(ledger: Ledger, vocabulary: Vocabulary, day: date) -> tuple[Problem, Plan]:
    """Plan the coming weeks and keep the plan; the daily sowing follows it from now on."""
    problem = problem_of(ledger, vocabulary, day)
    made = plan(problem, tries=TRIES)
    keep(ledger, day, made)
    return problem, made


def keep(ledger: Ledger, day: date, made: Plan) -> None:
    """Keep a plan made on a day, for the daily sowing and for the next plan to be like it."""
    planning.keep_plan(ledger, _row(ledger, day, made))


def renew_plan(ledger: Ledger, vocabulary: Vocabulary, day: date) -> None:
    """A farm that goes by a plan gets a new one each week; one that never asked for it goes by the rule of thumb."""
    kept = planning.kept_plan(ledger, day)
    if kept is not None and kept.start < week(day)[0]:
        make_plan(ledger, vocabulary, day)


def problem_of(ledger: Ledger, vocabulary: Vocabulary, day: date, weeks: int | None = None) -> Problem:
    """The farm on a day as the planner takes it."""
    weeks, targets = weeks or habits()["weeks"], tasks.targets(ledger)
    stands, rows, believed = standing(ledger), growing.crops(ledger), growths(ledger, vocabulary)
    grown = [slug for slug in rows if slug in targets or any(one.crop == slug for one in stands)]
    closed = _closed_weeks(ledger, day, weeks)
    return Problem(
        today=day,
        weeks=weeks,
        crops=tuple(planned_crop(ledger, vocabulary, rows[slug], believed[slug]) for slug in grown),
        room=_room(ledger, weeks),
        standing=tuple(stands),
        demand=tuple(_wishes(ledger, {slug: targets[slug] for slug in grown if slug in targets}, day, weeks, closed)),
        closed=closed,
        previous=_previous(ledger, day),
    )


def planned_crop(ledger: Ledger, vocabulary: Vocabulary, row: CropRow | CropProfile, believed: Growth) -> Crop:
    """A crop with the farm's own days, shares and minutes."""
    profile = Crop(
        slug=row.slug,
        cover_days=row.cover_days,
        shelf_days=row.shelf_days,
        tower_days=row.tower_days,
        regrow_days=row.regrow_days,
        cuts=row.cuts,
        wait_weeks=row.window_days // 7,
        tray_plugs=max(1, vocabulary.tray_cells // habits()["tray_parts"]),
        bunches=believed.picked.mean if believed.picked else 1.0,
        **_minutes(ledger, vocabulary),
    )
    return as_planned(profile, believed)


def _minutes(ledger: Ledger, vocabulary: Vocabulary) -> dict[str, float]:
    """Minutes for a plug sown, a plant moved, a head cut with its site cleaned."""
    unit = {what: size.minutes for what, size in sizes().items()} | tasks.learnt_minutes(ledger)
    sites = vocabulary.sites_per_tower
    return {
        "sow_minutes": unit["sow"] / vocabulary.tray_cells,
        "move_minutes": unit["move"] / sites,
        "cut_minutes": (unit["harvest"] + unit["clean"]) / sites,
    }


def _room(ledger: Ledger, weeks: int) -> Room:
    """Cells and sites of all places in use, and the crew's minutes on the shifts that are there every week."""
    room: dict[str, float] = defaultdict(float)
    for place in growing.places(ledger).values():
        if place.state != OUT and place.code != place.kind:
            room[LIVES[place.kind]] += place.sites
    minutes = sum(one.needed * _hours(one.start, one.end) * 60 for one in crew.patterns(ledger))
    return Room(
        cover_cells=(room["cover"],) * weeks,
        shelf_cells=(room["shelf"],) * weeks,
        tower_sites=(room["tower"],) * weeks,
        minutes=(minutes * habits()["plants_share"],) * weeks if minutes else None,
    )


def _hours(start: Any, end: Any) -> float:
    return (datetime.combine(date.min, end) - datetime.combine(date.min, start)) / timedelta(hours=1)


def _closed_weeks(ledger: Ledger, day: date, weeks: int) -> frozenset[int]:
    """Weeks of which every day that is still to come is closed."""
    monday, _ = week(day)
    closed = crew.closed_days(ledger, day, monday + timedelta(weeks=weeks))

    def _shut(at: int) -> bool:
        days = [monday + timedelta(weeks=at, days=one) for one in range(7)]
        return all(one in closed for one in days if one >= day)

    return frozenset(at for at in range(weeks) if _shut(at))


def _wishes(
    ledger: Ledger, targets: Mapping[str, float], day: date, weeks: int, closed: frozenset[int]
) -> Iterator[Demand]:
    """The targets and something to spare in each open week; this week's less what is cut already."""
    cut = {one.crop: one.count for one in harvests.cuts(ledger, week(day)[0], day)}
    for crop, target in targets.items():
        for at in range(weeks):
            if at not in closed:
                wanted = max(0.0, target - (cut.get(crop, 0.0) if at == 0 else 0.0))
                yield Demand(crop=crop, week=at, heads=wanted)
                yield Demand(crop=crop, week=at, heads=wanted * habits()["spare"], priority=TO_SPARE)


def _previous(ledger: Ledger, day: date) -> dict[tuple[str, date], int]:
    """The plan kept before; of this week what is still to be sown."""
    kept = planning.kept_plan(ledger, day)
    if kept is None:
        return {}
    monday, left = week(day)[0], planning.planned_to_sow(ledger, day) or {}
    before = {
        (crop, kept.start + timedelta(weeks=at)): plugs
        for crop, row in kept.sow.items()
        for at, plugs in enumerate(row)
    }
    return before | {(crop, monday): left.get(crop, 0) for crop in kept.sow}


def _row(ledger: Ledger, day: date, made: Plan) -> SowingPlan:
    sown = planning.sown_in_week(ledger, day)
    return SowingPlan(
        farm_id=ledger.farm_id,
        day=day,
        start=made.start,
        weeks=made.weeks,
        sow={crop: [row[0] + sown.get(crop, 0), *row[1:]] for crop, row in made.sow.items()},
        heads={crop: [round(one, 2) for one in row] for crop, row in made.heads.items()},
        short=[
            {"crop": one.demand.crop, "week": one.demand.week, "heads": round(one.heads, 2)}
            for one in made.wanted_short
        ],
        cost=made.cost,
        bound=made.bound,
        gap=made.gap,
        seconds=made.seconds,
    )
