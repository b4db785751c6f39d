"""Weeks: what to sow and why it may fall short, what will be ready against what is wanted, who comes, and "what if"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Annotated

from fastapi import APIRouter, Query, Response
from fastapi.responses import HTMLResponse, RedirectResponse

from core.acts.forecast import look_ahead
from core.acts.picture import shifts_on
from core.acts.planning import make_plan, problem_of
from core.books import crew, planning, tasks
from core.books.ledger import Ledger
from core.books.tables import SowingPlan
from core.books.vocabulary import vocabulary
from core.calendar import week
from core.day import ShiftPicture
from core.planning.forecast import Range
from core.planning.model import Demand, Plan, Short
from core.planning.wishes import Reasons, reasons
from core.tasks import trays_for
from service.board.forecast_figure import svg
from service.board.forms import Posted
from service.board.pages import Page
from service.board.supposing import Supposed, suppose
from service.board.view import Lead, View
from service.inbox import clean

router = APIRouter()
PAGE = Page("weeks", "/board/weeks", router)

SHOWN = 8
"""Weeks on the page: from seed to the table for most crops."""

ROSTER_DAYS = 14
EXAMPLES = ("out", "closed", "lost", "times", "new")
DRAWS = 1000
"""Enough for whole heads, in a third of a second; kept while nothing changes."""


@dataclass(frozen=True, slots=True)
class Sowing:
    """The plan that the farm goes by, from this week on.

    rows: plugs by crop and week. heads: expected to be cut. short: of each crop, wishes not met: Monday and heads.
    left: of this week, trays still to sow by crop. why: reckoned from the books as they are.
    """

    kept: SowingPlan
    mondays: Sequence[date]
    rows: Mapping[str, Sequence[int]]
    short: Mapping[str, Sequence[tuple[date, float]]]
    left: Mapping[str, float]
    why: Reasons


@dataclass(frozen=True, slots=True)
class Outlook:
    """What will be ready in the coming weeks, by crop and of all together, and what is wanted of each a week."""

    mondays: tuple[date, ...]
    ranges: Mapping[str, tuple[Range, ...]]
    together: tuple[Range, ...]
    targets: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class RosterDay:
    """The shifts of a day; a closed day may have none."""

    day: date
    closed: bool
    shifts: tuple[ShiftPicture, ...]


@router.get(PAGE.path, response_class=HTMLResponse)
def weeks(
    view: Lead,
    crop: Annotated[str, Query(max_length=40)] = "",
    what: Annotated[str, Query(max_length=160)] = "",
) -> Response:
    """The coming weeks; with `what`, what would come of it beside what is."""
    outlook = view.kept("outlook", lambda: _outlook(view))
    chosen = crop if crop in outlook.ranges else ""
    supposed = suppose(view, clean(what).strip()) if what.strip() else None
    return _show(view, outlook, chosen, clean(what).strip(), supposed)


@router.post(PAGE.path)
def plan_anew(view: Lead, _: Posted) -> Response:
    """Makes the plan for the coming weeks and keeps it; the daily sowing follows it."""
    with view.books.write() as session:
        make_plan(Ledger(session, view.farm.id), vocabulary(session, view.farm.id), view.today)
    return RedirectResponse(f"{PAGE.path}#sow", status_code=303)


def _show(view: View, outlook: Outlook, crop: str, what: str, supposed: Supposed | None) -> Response:
    speaker = view.speaker(PAGE)
    return view.show(
        PAGE,
        sowing=_sowing(view),
        heads_of=lambda days: [speaker.short_day(day) for day in days],
        named=[(slug, speaker.form("crop", slug)) for slug in outlook.ranges],
        examples=[speaker.t(f"example_{one}") for one in EXAMPLES],
        outlook=outlook,
        crop=crop,
        figure=svg(
            speaker,
            crop,
            outlook.mondays,
            outlook.ranges[crop] if crop else outlook.together,
            outlook.targets.get(crop) if crop else sum(outlook.targets.values()) or None,
        ),
        roster=_roster(view),
        what=what,
        supposed=supposed,
    )


def _sowing(view: View) -> Sowing | None:
    kept = planning.kept_plan(view.ledger, view.today)
    if kept is None:
        return None
    monday = week(view.today)[0]
    first = (monday - kept.start).days // 7
    shown = range(first, min(kept.weeks, first + SHOWN))
    short: dict[str, list[tuple[date, float]]] = {}
    for one in kept.short:
        if one["week"] >= first and one["heads"] >= 1:
            short.setdefault(one["crop"], []).append((kept.start + timedelta(weeks=one["week"]), one["heads"]))
    left = planning.planned_to_sow(view.ledger, view.today) or {}
    return Sowing(
        kept=kept,
        mondays=[kept.start + timedelta(weeks=at) for at in shown],
        rows={crop: [row[at] for at in shown] for crop, row in kept.sow.items()},
        short=short,
        left={crop: trays_for(plugs, view.vocabulary.tray_cells) for crop, plugs in left.items()},
        why=view.kept(("why", kept.day, kept.cost), lambda: _why(view, kept, first)),
    )


def _why(view: View, kept: SowingPlan, first: int) -> Reasons:
    """Why the kept plan falls short, by the farm as it is now."""
    problem = problem_of(view.ledger, view.vocabulary, view.today)
    short = tuple(
        Short(demand=Demand(crop=one["crop"], week=one["week"] - first, heads=one["heads"]), heads=one["heads"])
        for one in kept.short
        if one["week"] >= first and one["crop"] in kept.sow
    )
    nothing: dict[str, tuple[float, ...]] = {}
    made = Plan(
        start=problem.start, weeks=kept.weeks - first, sow={}, heads=nothing, surplus=nothing, short=short, no_room=(),
        cover=(), shelf=(), tower=(), minutes=(), cost=kept.cost, bound=kept.bound, gap=kept.gap,
        seconds=kept.seconds, parts={},
    )  # fmt: skip
    return reasons(problem, made)


def _outlook(view: View) -> Outlook:
    found = look_ahead(view.ledger, view.vocabulary, view.today, SHOWN, DRAWS)
    weeks_on = range(SHOWN)
    ranges = {crop: tuple(found.of(at, crop) for at in weeks_on) for crop in found.draws}
    return Outlook(
        mondays=tuple(found.start + timedelta(weeks=at) for at in weeks_on),
        ranges={crop: row for crop, row in ranges.items() if any(one.high for one in row)},
        together=tuple(found.of(at) for at in weeks_on),
        targets=tasks.targets(view.ledger),
    )


def _roster(view: View) -> list[RosterDay]:
    """Two weeks of shifts; days with neither a shift nor a closing are left out."""
    days = [view.today + timedelta(days=n) for n in range(ROSTER_DAYS)]
    closed = crew.closed_days(view.ledger, days[0], days[-1])
    found = [RosterDay(day, day in closed, shifts_on(view.ledger, view.vocabulary, day)) for day in days]
    return [one for one in found if one.closed or one.shifts]
