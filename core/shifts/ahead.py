"""The work of the coming days, each day's taken as done before the next. Pure."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from core.crops import CropDays, up_on
from core.tasks import Planted, State, Work, plan

COVER = "cover"
TOWER = "tower"


@dataclass(frozen=True, slots=True)
class DayWork:
    """What is to be done on a day."""

    day: date
    works: tuple[Work, ...]

    @property
    def minutes(self) -> int:
        """For one person. [min]"""
        return sum(one.minutes for one in self.works)


def work_ahead(
    days: Iterable[date], states: Mapping[date, State], tanks: Iterable[str], staffed: Callable[[DayWork], bool]
) -> Iterator[DayWork]:
    """The work of each day, first to last.

    Args:
        days: one after the other.
        states: the farm as its books have it, as it would be on the first day and on others (a week's sowing begins on
            its Monday); of later ones only what falls due by the calendar is taken, for plants have moved on.
        tanks: read every day.
        staffed: whether there is somebody to do a day's work; where not, it waits for the next.
    """
    state: State | None = None
    done: set[tuple[str, str]] = set()
    for day in days:
        state = _renewed(state, states[day], done) if day in states else state
        if state is None:
            raise KeyError(day)
        state = replace(state, unread=tuple(tanks))
        work = DayWork(day, plan(state, day).new)
        yield work
        if staffed(work):
            done |= {(one.what, place) for one in work.works for place in one.places}
            for one in work.works:
                state = _after(state, one, day)


def _renewed(state: State | None, fresh: State, done: set[tuple[str, str]]) -> State:
    """The state with what falls due by the calendar, less what was done on the days before."""
    if state is None:
        return fresh

    def _left(what: str, due: Sequence[str]) -> list[str]:
        return [one for one in due if (what, one) not in done]

    return replace(
        state,
        to_sow=fresh.to_sow,
        uncalibrated=_left("calibrate", fresh.uncalibrated),
        low=_left("topup", fresh.low),
        upkeep=_left("upkeep", fresh.upkeep),
    )


def _after(state: State, work: Work, day: date) -> State:
    """The farm once a piece of work is done."""
    places = set(work.places)
    match work.what:
        case "harvest":
            return _cut(state, work, day)
        case "clear":
            gone = [one for one in state.planted if one.place in places]
            return replace(state, planted=_without(state, gone), dirty=_with(state.dirty, places))
        case "clean":
            dirty = [one for one in state.dirty if one not in places]
            return replace(state, dirty=dirty, free=_with(state.free, places))
        case "move":
            return _moved_up(state, work, day, "shelf")
        case "uncover":
            return _moved_up(state, work, day, COVER)
        case "sow":
            return _sown(state, work, day)
        case "calibrate":
            return replace(state, uncalibrated=[one for one in state.uncalibrated if one not in places])
        case "topup":
            return replace(state, low=[one for one in state.low if one not in places])
        case "upkeep":
            return replace(state, upkeep=[one for one in state.upkeep if one not in places])
        case _:
            return replace(state, to_water=()) if work.what == "water" else state


def _cut(state: State, work: Work, day: date) -> State:
    """Plants cut: one cut more, or gone with their last."""
    cut = [
        one for one in state.planted if one.kind == TOWER and one.crop == work.crop and one.place in set(work.places)
    ]
    after = [replace(one, cuts=one.cuts + 1, last_cut=day) for one in cut]
    stay = [one for one in after if one.cuts < state.calendars[one.crop].cuts]
    emptied = {one.place for one in after if one not in stay}
    return replace(state, planted=[*_without(state, cut), *stay], dirty=_with(state.dirty, emptied))


def _moved_up(state: State, work: Work, day: date, kind: str) -> State:
    """What is due of a crop leaves the cover for a shelf, or the shelf for as many towers as the task has."""
    crop = state.calendars[work.crop or ""]
    due = [one for one in state.planted if one.kind == kind and one.crop == work.crop and _is_due(crop, one, day)]
    to = "shelf" if kind == COVER else TOWER
    room = {place: _room(state, place, kind) for place in work.places}
    left = sum(one.plants for one in due)
    there = []
    for place, most in room.items():
        there.append(Planted(work.crop or "", place, to, min(left, most), day))
        left -= min(left, most)
    rest = [replace(due[-1], plants=left)] if due and left > 0 else []
    free = [one for one in state.free if one not in work.places]
    return replace(state, planted=[*_without(state, due), *there, *rest], free=free)


def _room(state: State, place: str, kind: str) -> int:
    """How many plants a place takes that come from a kind of place."""
    if kind == COVER:
        return max(0, state.shelf_room.get(place, 0))
    return state.sites.get(place) or state.sites_per_tower


def _is_due(crop: CropDays, one: Planted, day: date) -> bool:
    due = up_on(crop, one.kind, one.since)
    return due is not None and due <= day


def _sown(state: State, work: Work, day: date) -> State:
    plugs = state.to_sow.get(work.crop or "", 0)
    left = {crop: count for crop, count in state.to_sow.items() if crop != work.crop}
    sown = Planted(work.crop or "", COVER, COVER, plugs, day)
    return replace(state, to_sow=left, planted=[*state.planted, sown], to_water=(COVER,))


def _without(state: State, gone: list[Planted]) -> list[Planted]:
    return [one for one in state.planted if one not in gone]


def _with(places: Iterable[str], more: Iterable[str]) -> list[str]:
    return list(dict.fromkeys([*places, *more]))
