"""What falls due on a day: which towers to cut, clean and plant, what to sow, which tanks to check.

Pure: the state of the farm and the day are passed in. Sizes are in tasks.toml. Open tasks of earlier days are carried
on as far as they are still to be done; nothing is listed twice.
"""

from __future__ import annotations

import math
import tomllib
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from pathlib import Path

from core.crops import CropDays, next_cut, up_on
from core.vocabulary import PLACE_CODE

Job = tuple[str | None, str]
"""The least that can be due: a crop (None where it does not matter) and a place."""


@dataclass(frozen=True, slots=True)
class Size:
    """One kind of work, as tasks.toml has it."""

    unit: str
    minutes: int
    at_once: int
    most: int
    adults: bool
    source: str


@dataclass(frozen=True, slots=True)
class Planted:
    """Plants of one crop in one place. `kind` is the place's: "cover", "shelf" or "tower"."""

    crop: str
    place: str
    kind: str
    plants: int
    since: date
    cuts: int = 0
    last_cut: date | None = None


@dataclass(frozen=True, slots=True)
class State:
    """What of the farm decides the work of a day.

    calendars: the days of each crop.
    free: clean towers with nothing in them; dirty: towers to clean.
    shelf_room: how many more plants each shelf holds.
    to_sow: plugs of a crop that are wanted this week and not yet sown.
    unread: tanks with no pH or no EC read that day; uncalibrated: tanks whose pH probe is due.
    """

    calendars: Mapping[str, CropDays]
    planted: Sequence[Planted]
    free: Sequence[str]
    dirty: Sequence[str]
    shelf_room: Mapping[str, int]
    to_sow: Mapping[str, int]
    unread: Sequence[str]
    uncalibrated: Sequence[str]
    sites_per_tower: int
    tray_cells: int


@dataclass(frozen=True, slots=True)
class Work:
    """One task: what is to be done where, and how long it takes one person. `id` once it is in the books."""

    what: str
    minutes: int = 0
    crop: str | None = None
    places: tuple[str, ...] = ()
    trays: float | None = None
    id: int | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    """A day's work: tasks carried over (with what is left of them), tasks no longer due, and new ones in order."""

    kept: tuple[Work, ...]
    gone: tuple[Work, ...]
    new: tuple[Work, ...]


@cache
def sizes() -> Mapping[str, Size]:
    """Every kind of work, in the order it is done."""
    data = tomllib.loads(Path(__file__).with_suffix(".toml").read_text("utf-8"))
    return {what: Size(**row) for what, row in data.items()}


def plan(state: State, day: date, open_tasks: Sequence[Work] = ()) -> Plan:
    """The work of a day, given the tasks still open."""
    kept = tuple(rest for task in open_tasks if (rest := still_due(task, state, day)))
    gone = tuple(task for task in open_tasks if task.id not in {rest.id for rest in kept})
    new = [work for works in _by_kind(state, day, kept) for work in works]
    return Plan(kept, gone, tuple(new))


def in_order(works: Iterable[Work]) -> list[Work]:
    """Tasks in the order they are done."""
    order = list(sizes())
    return sorted(works, key=lambda work: (order.index(work.what) if work.what in order else len(order), work.id or 0))


def for_minors(works: Iterable[Work]) -> list[Work]:
    """The tasks that may be given to a minor."""
    return [work for work in works if work.what in sizes() and not sizes()[work.what].adults]


def ripe(state: State, day: date) -> list[tuple[date, Planted]]:
    """What stands in towers and is ready to cut on a day, with the day it became so, the longest overdue first."""
    cuts = (
        (next_cut(state.calendars[one.crop], one.since, one.cuts, one.last_cut), one) for one in _in(state, "tower")
    )
    due = [(cut, one) for cut, one in cuts if cut is not None and cut <= day]
    return sorted(due, key=lambda pair: (pair[0], pair[1].crop, place_order(pair[1].place)))


def moving_up(state: State, day: date, kind: str) -> dict[str, int]:
    """Plants of each crop that are due to leave the cover or the shelves."""
    due: dict[str, int] = defaultdict(int)
    for one in _in(state, kind):
        up = up_on(state.calendars[one.crop], kind, one.since)
        if up is not None and up <= day:
            due[one.crop] += one.plants
    return dict(due)


def plugs_a_week(count: float, germination: float, cuts: int) -> int:
    """Plugs to sow each week so that about `count` heads or bunches come a week: a rule of thumb, not a forecast.

    Each plant gives `cuts` heads or bunches in its life; seeds that do not come up and a tenth for weak seedlings are
    added, and the whole is rounded up.

    Source:
        Resh H.M., Hydroponics for the Home Grower, CRC Press, 2015, ch. 23 (plants / germination), ch. 24 (10 % spare).
    """
    return math.ceil(1.1 * count / cuts / germination)


def place_order(code: str) -> tuple[str, int]:
    """Places in the order one walks by them: A2 before A10."""
    match = PLACE_CODE.fullmatch(code)
    return (match[1], int(match[2])) if match else (code, 0)


def still_due(task: Work, state: State, day: date) -> Work | None:
    """What is left to do of an open task; None when nothing is."""
    if task.what == "sow":
        return task if task.crop in state.to_sow else None
    left = tuple(place for place in task.places if place in _places_due(task, state, day))
    return replace(task, places=left, minutes=_minutes(task.what, len(left))) if left else None


def _places_due(task: Work, state: State, day: date) -> set[str]:
    match task.what:
        case "harvest":
            return {one.place for _, one in ripe(state, day) if one.crop == task.crop}
        case "clean":
            return set(state.dirty)
        case "check":
            return set(state.unread)
        case "calibrate":
            return set(state.uncalibrated)
        case _:
            towers = state.free if task.crop in moving_up(state, day, "shelf") else ()
            shelves = state.shelf_room if task.crop in moving_up(state, day, "cover") else ()
            return {*towers, *shelves}


def _by_kind(state: State, day: date, kept: Sequence[Work]) -> Iterator[list[Work]]:
    """New tasks of each kind in order, as many as the day still takes beside those carried over."""
    taken = {(work.what, place) for work in kept for place in work.places}

    def left(what: str, jobs: Iterable[Job]) -> list[Work]:
        """Those of the jobs that no task carried over has."""
        return _grouped(what, (job for job in jobs if (what, job[1]) not in taken))

    makers = {
        "calibrate": left("calibrate", ((None, tank) for tank in state.uncalibrated)),
        "check": left("check", ((None, tank) for tank in state.unread)),
        "harvest": left("harvest", ((one.crop, one.place) for _, one in ripe(state, day))),
        "clean": left("clean", ((None, place) for place in state.dirty)),
        "move": [*_into_towers(state, day, kept), *_onto_shelves(state, day, kept)],
        "sow": _sowing(state, kept),
    }
    for what, size in sizes().items():
        carried = sum(work.what == what for work in kept)
        yield makers[what][: max(0, size.most - carried)]


def _grouped(what: str, jobs: Iterable[Job]) -> list[Work]:
    """Jobs drawn together into tasks a crop, in walking order, no task larger than one goes at once."""
    places: dict[str | None, list[str]] = defaultdict(list)
    for crop, place in jobs:
        places[crop].append(place)
    return [_work(what, crop, run) for crop, codes in places.items() for run in _runs(codes, sizes()[what].at_once)]


def _runs(codes: Sequence[str], at_once: int) -> Iterator[tuple[str, ...]]:
    """Places in walking order, in runs of about the same length that are no longer than one goes at once."""
    walk = sorted(set(codes), key=place_order)
    length = math.ceil(len(walk) / math.ceil(len(walk) / at_once))
    for start in range(0, len(walk), length):
        yield tuple(walk[start : start + length])


def _into_towers(state: State, day: date, kept: Sequence[Work]) -> list[Work]:
    """Transplanting: each crop that is due gets the next free towers, those of open tasks left to them."""
    held = {place: work.crop for work in kept if work.what == "move" for place in work.places}
    free = [place for place in sorted(state.free, key=place_order) if place not in held]
    jobs: list[Job] = []
    for crop, plants in sorted(moving_up(state, day, "shelf").items()):
        has = sum(1 for place, for_crop in held.items() if for_crop == crop and place in state.free)
        towers = max(0, math.ceil(plants / state.sites_per_tower) - has)
        jobs += [(crop, place) for place in free[:towers]]
        free = free[towers:]
    return _grouped("move", jobs)


def _onto_shelves(state: State, day: date, kept: Sequence[Work]) -> list[Work]:
    """Trays from under the cover, each crop to the shelf with most room."""
    carried = {work.crop for work in kept if work.what == "move" and not set(work.places) <= set(state.free)}
    room = dict(state.shelf_room)
    works = []
    for crop, plants in sorted(moving_up(state, day, "cover").items()):
        shelf = max(room, key=lambda code: room[code], default=None)
        if crop in carried or shelf is None or room[shelf] <= 0:
            continue
        room[shelf] -= plants
        trays = round(plants / state.tray_cells, 1)
        works.append(_work("move", crop, (shelf,), trays=trays))
    return works


def _sowing(state: State, kept: Sequence[Work]) -> list[Work]:
    """Half trays and up of what is wanted this week, the most wanted crop first."""
    carried = {work.crop for work in kept if work.what == "sow"}
    wanted = sorted(state.to_sow.items(), key=lambda one: (-one[1], one[0]))
    return [
        _work("sow", crop, (), trays=half_trays(plugs, state.tray_cells))
        for crop, plugs in wanted
        if crop not in carried
    ]


def half_trays(plugs: int, tray_cells: int) -> float:
    """Trays for so many plugs, in half trays, rounded up."""
    return math.ceil(2 * plugs / tray_cells) / 2


def _work(what: str, crop: str | None, places: tuple[str, ...], trays: float | None = None) -> Work:
    units = trays if trays is not None else len(places)
    return Work(what, _minutes(what, units), crop, places, trays)


def _minutes(what: str, units: float) -> int:
    """For one person, to five minutes up."""
    return 5 * math.ceil(sizes()[what].minutes * units / 5)


def _in(state: State, kind: str) -> Iterator[Planted]:
    return (one for one in state.planted if one.kind == kind)
