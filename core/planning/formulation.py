"""The sowing plan as a mixed-integer programme. The whole model stands in this file.

Unknowns: what is sown of a crop in a week (whole steps of a tray) and raised of it; of each lane and cut, the plants
that are ripe in one week and cut in the same or a later one, and of those cut the plants kept on; of what stands, the
plants kept and given up; of each wish the heads missing; of each crop and week the heads cut for nobody.

    sought     least  short + given up + waste + spare + uneven + change + sown, in the weights of weights.toml
    raised     seedlings on the shelves + spare ones = plugs that come up
    ripe       plants ripe in a week = those cut in it and in the weeks they may wait;  none in a closed week
    regrow     kept on after a cut <= cut;  ripe again for the next cut after the regrowth days
    wishes     heads cut - heads for nobody + heads missing = wishes
    room       on each day on which something comes in:  cells and sites taken <= room
    minutes    sowing, moving and cutting in a week <= minutes of the crew
"""

from __future__ import annotations

import tomllib
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path
from typing import Any, Literal, get_args

from core.planning.courses import Course, cut_phases, last_week_to_cut, open_day, sown_course, standing_course
from core.planning.lanes import Cuts, Lane, Stretch, Way
from core.planning.model import Crop, Demand, Problem, Standing, Where
from core.planning.programme import Programme, Terms

More = Literal["cover", "shelf", "tower", "minutes"]
"""What there may be too little of: cells or sites, or minutes a week."""

WHERE: tuple[Where, ...] = get_args(Where)


@dataclass(slots=True)
class Formulation:
    """The programme of a problem, and which unknown stands for what."""

    problem: Problem
    programme: Programme = field(default_factory=Programme)
    lanes: list[Lane] = field(default_factory=list)
    sow: dict[tuple[str, int], int] = field(default_factory=dict)
    given_up: list[tuple[Standing, int]] = field(default_factory=list)
    short: list[tuple[Demand, int]] = field(default_factory=list)
    surplus: dict[tuple[str, int], int] = field(default_factory=dict)
    more: dict[More, int] = field(default_factory=dict)
    parts: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))

    def unknown(self, part: str, cost: float, **bounds: Any) -> int:
        """A new unknown that costs something, under what it is for."""
        column = self.programme.column(cost, **bounds)
        self.parts[part].append(column)
        return column

    def heads(self) -> dict[tuple[str, int], Terms]:
        """Heads or bunches cut, by crop and week."""
        found: dict[tuple[str, int], Terms] = defaultdict(list)
        for lane in self.lanes:
            for cuts in lane.cuts:
                for (_, week), column in cuts.cut.items():
                    found[lane.crop.slug, week].append((column, lane.crop.heads_a_plant(cuts.number)))
        return found

    def taken(self, where: Where, days: Iterable[int]) -> dict[int, Terms]:
        """Cells or sites taken on each of some days."""
        found: dict[int, Terms] = {day: [] for day in sorted(days)}
        for one in self.stretches(where):
            for day in found:
                if one.first <= day < one.end:
                    found[day].append((one.column, one.takes))
        return found

    def stretches(self, where: Where) -> Iterator[Stretch]:
        """All that is taken in a kind of place."""
        return (one for lane in self.lanes for one in lane.stretches(where))

    def minutes(self) -> dict[int, Terms]:
        """Minutes of work, by week."""
        found: dict[int, Terms] = {week: [] for week in range(self.problem.weeks)}
        for lane in self.lanes:
            handled = (one for way in lane.ways for one in way.handlings())
            for week, column, minutes in (*handled, *lane.cut_minutes()):
                if week in found and minutes:
                    found[week].append((column, minutes))
        return found


def formulate(problem: Problem, more: More | None = None) -> Formulation:
    """The programme of a problem; `more` of one thing may be had in every week, at a price."""
    model = Formulation(problem)
    if more is not None:
        model.more[more] = model.unknown("more", weights()["more"][more])
    for crop in problem.crops:
        _sowings(model, crop)
    _what_stands(model)
    for lane in model.lanes:
        _cuttings(model, lane)
    _wishes(model)
    _room(model)
    _labour(model)
    _evenness(model)
    return model


@cache
def weights() -> Mapping[str, Any]:
    """How bad each thing is, as weights.toml has it."""
    return tomllib.loads(Path(__file__).with_name("weights.toml").read_text("utf-8"))


def _sowings(model: Formulation, crop: Crop) -> None:
    """Plugs by week, as far as they can be cut within the plan; a lane for each weekday of the first cut."""
    problem, step = model.problem, crop.tray_plugs
    lanes: dict[int, Lane] = {}
    for week in range(problem.weeks):
        course = sown_course(problem, crop, week)
        if week in problem.closed or course.ready >= 7 * problem.weeks:
            continue
        column = model.unknown("sown", weights()["sown"] * step, whole=True)
        model.sow[crop.slug, week] = column
        lane = lanes.setdefault(course.ready % 7, Lane(crop, []))
        raised = _raised(model, column, step * crop.up)
        lane.ways.append(Way(crop, "seed", course, column, step, raised, 1.0, crop.shelf_keep))
    model.lanes += lanes.values()


def _raised(model: Formulation, sown: int, up: float) -> int:
    """Seedlings put on the shelves: those that came up, or fewer where spare ones are left over."""
    raised = model.programme.column()
    spare = model.unknown("spare", weights()["spare"])
    model.programme.row([(raised, 1.0), (spare, 1.0), (sown, -up)], 0.0, 0.0)
    return raised


def _what_stands(model: Formulation) -> None:
    """What stands, drawn together where it shares its days."""
    drawn: dict[tuple[str, Where, Course], Standing] = {}
    for one in model.problem.standing:
        course = standing_course(model.problem, model.problem.crop(one.crop), one)
        if course is not None and one.plants > 0:
            key, has = (one.crop, one.where, course), drawn.get((one.crop, one.where, course))
            drawn[key] = replace(has, plants=has.plants + one.plants, places=has.places + one.places) if has else one
    for (slug, _, course), one in drawn.items():
        _stands(model, model.problem.crop(slug), course, one)


def _stands(model: Formulation, crop: Crop, course: Course, one: Standing) -> None:
    """As much of it is kept as there is room for."""
    kept = model.programme.column(high=one.plants)
    given_up = model.unknown("given up", weights()["given_up"])
    model.programme.row([(kept, 1.0), (given_up, 1.0)], one.plants, one.plants)
    model.given_up.append((one, given_up))
    seedlings, plants = {"cover": (crop.up, crop.plants_a_plug), "shelf": (1.0, crop.shelf_keep), "tower": (0.0, 1.0)}[
        one.where
    ]
    model.lanes.append(Lane(crop, [Way(crop, one.where, course, kept, 1.0, kept, seedlings, plants)]))


def _cuttings(model: Formulation, lane: Lane) -> None:
    """From ripe to cut, and from one cut to the next."""
    first = lane.ways[0].course
    ripe: dict[int, Terms] = defaultdict(list)
    for way in lane.ways:
        ripe[way.course.ready // 7].append((way.raised, way.plants))
    for number, weekday, lag in cut_phases(lane.crop, first.ready, first.cut):
        cuts = Cuts(number, weekday)
        lane.cuts.append(cuts)
        for week, plants in ripe.items():
            _cut(model, lane.crop, cuts, week, plants)
        if number + 1 < lane.crop.cuts:
            ripe = _regrowth(model, cuts, lag)


def _cut(model: Formulation, crop: Crop, cuts: Cuts, ripe: int, plants: Terms) -> None:
    """What is ripe in a week is cut by the last week it can wait for; beyond the plan it may be left standing."""
    weeks = range(ripe, last_week_to_cut(model.problem, crop, ripe) + 1)
    for week in weeks:
        if week not in model.problem.closed:
            cuts.cut[ripe, week] = model.programme.column()
    chosen = [(cuts.cut[ripe, week], 1.0) for week in weeks if (ripe, week) in cuts.cut]
    model.programme.row([*chosen, *((column, -factor) for column, factor in plants)], 0.0, 0.0)


def _regrowth(model: Formulation, cuts: Cuts, lag: int) -> dict[int, Terms]:
    """What is kept on after each week's cut, by the week in which it is ripe again."""
    ripe: dict[int, Terms] = defaultdict(list)
    for week, columns in cuts.by_week().items():
        again = open_day(7 * (week + lag), model.problem.closed) // 7
        if again < model.problem.weeks:
            cuts.kept_on[week, again] = column = model.programme.column()
            model.programme.row([(column, 1.0), *((one, -1.0) for one in columns)], high=0.0)
            ripe[again].append((column, 1.0))
    return ripe


def _wishes(model: Formulation) -> None:
    """What is cut goes to the wishes or to nobody."""
    wanted: dict[tuple[str, int], list[Demand]] = defaultdict(list)
    for one in model.problem.demand:
        if one.heads > 0 and one.week < model.problem.weeks:
            wanted[one.crop, one.week].append(one)
    heads = model.heads()
    for at in sorted({*wanted, *(one for one in heads if one[1] < model.problem.weeks)}):
        short = [_missing(model, one) for one in wanted[at]]
        terms = [*heads[at], *((column, 1.0) for column in short)]
        if heads[at]:
            model.surplus[at] = model.unknown("waste", weights()["waste"])
            terms.append((model.surplus[at], -1.0))
        total = sum(one.heads for one in wanted[at])
        model.programme.row(terms, total, total)


def _missing(model: Formulation, wish: Demand) -> int:
    ladder, sooner = weights()["short"], weights()["sooner"] * (1 - wish.week / model.problem.weeks)
    cost = ladder[min(max(wish.priority, 1), len(ladder)) - 1] * (1 + sooner)
    column = model.unknown("short", cost, high=wish.heads)
    model.short.append((wish, column))
    return column


def _room(model: Formulation) -> None:
    """Room on every day on which something comes in, or on which there is less of it than the day before."""
    last = 7 * model.problem.weeks
    for where in WHERE:
        room = model.problem.room.of(where)
        days = {way.stretch(where).first for lane in model.lanes for way in lane.ways}
        days |= {7 * week for week in range(1, model.problem.weeks) if room[week] < room[week - 1]}
        for day, terms in model.taken(where, (one for one in days if one < last)).items():
            if terms:
                model.programme.row(_less_more(model, where, terms), high=room[day // 7], shared=True)


def _labour(model: Formulation) -> None:
    if model.problem.room.minutes is not None:
        for week, terms in model.minutes().items():
            if terms:
                most = model.problem.room.minutes[week]
                model.programme.row(_less_more(model, "minutes", terms), high=most, shared=True)


def _less_more(model: Formulation, what: More, terms: Terms) -> Terms:
    return [*terms, (model.more[what], -1.0)] if what in model.more else terms


def _evenness(model: Formulation) -> None:
    """Little change from week to week, and from the plan kept before."""
    scale, problem = weights(), model.problem
    for (slug, week), column in model.sow.items():
        step = float(problem.crop(slug).tray_plugs)
        if (slug, week - 1) in model.sow:
            terms = [(column, step), (model.sow[slug, week - 1], -step)]
            model.parts["uneven"].extend(model.programme.distance(terms, 0.0, scale["uneven"]))
        before = problem.previous.get((slug, problem.monday(week)))
        if before is not None:
            cost = scale["change_near"] if week < scale["near_weeks"] else scale["change_later"]
            model.parts["change"].extend(model.programme.distance([(column, step)], before, cost))
