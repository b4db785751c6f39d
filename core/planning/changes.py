"""What if: a changed farm, planned again, laid beside the plan as it is. Pure; nothing is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from core.planning.model import Crop, Demand, Plan, Problem, Standing, Where
from core.planning.sowing_plan import plan


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacesOut:
    """So many cells or sites are out of use from a day to another, both included; for good where there is no last.

    What stands there finds another place where there is one, or is given up.
    """

    where: Where
    sites: float
    first: date
    last: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost:
    """What stands is lost: of a crop, in places, or of the crop in these places."""

    crop: str | None = None
    places: frozenset[str] = frozenset()

    def strikes(self, one: Standing) -> bool:
        """Whether it is lost."""
        return self.crop in (None, one.crop) and (not self.places or bool(self.places & set(one.places)))


@dataclass(frozen=True, slots=True, kw_only=True)
class WeeksClosed:
    """Nobody comes in the weeks that lie within these days."""

    first: date
    last: date


@dataclass(frozen=True, slots=True, kw_only=True)
class TargetTimes:
    """Wishes for a crop, or for all crops, so many times what they are."""

    factor: float
    crop: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NewCrop:
    """A crop that was not grown before, and heads or bunches of it wanted a week."""

    crop: Crop
    heads: float


Change = PlacesOut | Lost | WeeksClosed | TargetTimes | NewCrop


@dataclass(frozen=True, slots=True)
class Difference:
    """What a change comes to, each figure after less before, crops that stay alike left out.

    plugs_now: this week's sowing by crop. heads: cut over the whole plan by crop. missing: heads short by crop, wishes
    for something to spare aside. given_up: plants that stand and have no place.
    """

    plugs_now: Mapping[str, int]
    heads: Mapping[str, float]
    missing: Mapping[str, float]
    given_up: float


def what_if(
    problem: Problem, change: Change, *, before: Plan | None = None, tries: int | None = None
) -> tuple[Plan, Plan, Difference]:
    """The plan before and after a change, and the difference. The plan as it is may be passed in."""
    was = before or plan(problem, tries=tries)
    now = plan(replace(changed(problem, change), previous=as_previous(was)), tries=tries)
    return was, now, difference(was, now)


def changed(problem: Problem, change: Change) -> Problem:
    """The farm after a change."""
    match change:
        case PlacesOut():
            return _with_less_room(problem, change)
        case Lost():
            return replace(problem, standing=tuple(one for one in problem.standing if not change.strikes(one)))
        case WeeksClosed():
            weeks = {week for week in range(problem.weeks) if _within(problem.monday(week), change)}
            kept = tuple(one for one in problem.demand if one.week not in weeks)
            return replace(problem, closed=problem.closed | weeks, demand=kept)
        case TargetTimes():
            return replace(problem, demand=tuple(_times(one, change) for one in problem.demand))
        case NewCrop():
            wishes = [Demand(crop=change.crop.slug, week=week, heads=change.heads) for week in range(problem.weeks)]
            return replace(problem, crops=(*problem.crops, change.crop), demand=(*problem.demand, *wishes))


def as_previous(made: Plan) -> dict[tuple[str, date], int]:
    """A plan's sowings as the next one takes them, by crop and Monday."""
    return {
        (crop, made.start + timedelta(weeks=week)): plugs
        for crop, row in made.sow.items()
        for week, plugs in enumerate(row)
    }


def difference(before: Plan, after: Plan) -> Difference:
    """What one plan has more than another."""
    return Difference(
        plugs_now={crop: int(n) for crop, n in _more(_plugs_now(before), _plugs_now(after), 1).items()},
        heads=_more(_heads(before), _heads(after), 1.0),
        missing=_more(_missing(before), _missing(after), 1.0),
        given_up=_given_up(after) - _given_up(before),
    )


def _within(monday: date, closed: WeeksClosed) -> bool:
    """A week counts when its working days, Monday to Friday, lie within."""
    return closed.first <= monday and monday + timedelta(days=4) <= closed.last


def _with_less_room(problem: Problem, out: PlacesOut) -> Problem:
    def _left(week: int, room: float) -> float:
        monday = problem.monday(week)
        touched = out.first <= monday + timedelta(days=6) and (out.last is None or monday <= out.last)
        return max(0.0, room - out.sites) if touched else room

    rows = {"cover": "cover_cells", "shelf": "shelf_cells", "tower": "tower_sites"}
    weeks = tuple(_left(week, room) for week, room in enumerate(problem.room.of(out.where)))
    return replace(problem, room=replace(problem.room, **{rows[out.where]: weeks}))


def _times(one: Demand, change: TargetTimes) -> Demand:
    return replace(one, heads=one.heads * change.factor) if change.crop in (None, one.crop) else one


def _more(before: Mapping[str, float], after: Mapping[str, float], least: float) -> dict[str, float]:
    crops = dict.fromkeys((*before, *after))
    more = {crop: after.get(crop, 0) - before.get(crop, 0) for crop in crops}
    return {crop: n for crop, n in more.items() if abs(n) >= least}


def _plugs_now(made: Plan) -> dict[str, float]:
    return {crop: row[0] for crop, row in made.sow.items()}


def _heads(made: Plan) -> dict[str, float]:
    return {crop: sum(row) for crop, row in made.heads.items()}


def _missing(made: Plan) -> dict[str, float]:
    missing: dict[str, float] = {}
    for one in made.wanted_short:
        missing[one.demand.crop] = missing.get(one.demand.crop, 0.0) + one.heads
    return missing


def _given_up(made: Plan) -> float:
    return sum(plants for _, plants in made.no_room)
