"""What falls due on a day: which towers to cut, clear, clean and plant, what to sow, which tanks and things to see to.

Pure: the state of the farm and the day are passed in. Kinds of work and their sizes are in tasks.toml. Open tasks of
earlier days are carried on as far as they are still to be done; nothing is listed twice.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from types import MappingProxyType

from core.crops import CropDays, next_cut, up_on
from core.places import place_order
from core.sizing import minutes_for, people_for, sizes
from core.upkeep import rules

Job = tuple[str | None, str]
"""The least that can be due: a crop (None where it does not matter) and a place."""

LAST = 99
"""Where a kind of work is done that tasks.toml does not know."""


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
    unread: tanks with no pH or no EC read that day; uncalibrated: tanks whose pH probe is due; low: tanks to top up.
    to_water: places with trays sown yesterday or today that nobody has watered in.
    upkeep: things that are due to be cleaned.
    minutes: kind of work -> minutes a unit takes here, where the farm has times enough of its own.
    sites: place -> plants it has room for, where that is not `sites_per_tower`.
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
    low: Sequence[str] = ()
    to_water: Sequence[str] = ()
    upkeep: Sequence[str] = ()
    minutes: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    sites: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True)
class Work:
    """One task: what is to be done where, and how long it takes one person. `id` once it is in the books."""

    what: str
    minutes: int = 0
    crop: str | None = None
    places: tuple[str, ...] = ()
    trays: float | None = None
    id: int | None = None

    @property
    def people(self) -> int:
        """How many it is for."""
        return people_for(self.minutes)

    @property
    def units(self) -> float:
        """How much it is, in the unit of its kind: trays, or else places."""
        return self.trays if self.trays is not None else len(self.places)

    @property
    def adults(self) -> bool:
        """Whether it may not be given to a minor."""
        things = [rules()[place].adults for place in self.places if self.what == "upkeep" and place in rules()]
        return self.what not in sizes() or sizes()[self.what].adults or any(things)


@dataclass(frozen=True, slots=True)
class Plan:
    """A day's work: tasks carried over (with what is left of them), tasks no longer due, and new ones in order."""

    kept: tuple[Work, ...]
    gone: tuple[Work, ...]
    new: tuple[Work, ...]


def plan(state: State, day: date, open_tasks: Sequence[Work] = ()) -> Plan:
    """The work of a day, given the tasks still open."""
    kept = tuple(rest for task in open_tasks if (rest := still_due(task, state, day)))
    gone = tuple(task for task in open_tasks if task.id not in {rest.id for rest in kept})
    return Plan(kept, gone, tuple(_new(state, day, kept)))


def in_order(works: Iterable[Work]) -> list[Work]:
    """Tasks in the order they are done."""
    order = {what: at for at, what in enumerate(sizes())}
    return sorted(works, key=lambda work: (order.get(work.what, LAST), work.id or 0))


def for_minors(works: Iterable[Work]) -> list[Work]:
    """The tasks that may be given to a minor."""
    return [work for work in works if not work.adults]


def ripe(state: State, day: date) -> list[tuple[date, Planted]]:
    """What stands in towers and is ready to cut on a day, with the day it became so, the longest overdue first."""
    cuts = ((_next_cut(state, one), one) for one in _in(state, "tower"))
    due = [(cut, one) for cut, one in cuts if cut is not None and cut <= day]
    return sorted(due, key=lambda pair: (pair[0], pair[1].crop, place_order(pair[1].place)))


def spent(state: State) -> list[Planted]:
    """What stands in towers and has given all its cuts."""
    return [one for one in _in(state, "tower") if _next_cut(state, one) is None]


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


def still_due(task: Work, state: State, day: date) -> Work | None:
    """What is left to do of an open task; None when nothing is."""
    if task.what == "sow":
        return task if task.crop in state.to_sow else None
    left = tuple(place for place in task.places if place in _places_due(task, state, day))
    if not left:
        return None
    rest = replace(task, places=left)
    return replace(rest, minutes=minutes_for(task.what, rest.units, state.minutes))


def _places_due(task: Work, state: State, day: date) -> set[str]:
    match task.what:
        case "harvest":
            return {one.place for _, one in ripe(state, day) if one.crop == task.crop}
        case "clear":
            return {one.place for one in spent(state)}
        case "clean":
            return {*state.dirty, *_emptied(state, day)}
        case "move":
            return {*state.free, *state.dirty} if task.crop in moving_up(state, day, "shelf") else set()
        case "uncover":
            return set(state.shelf_room) if task.crop in moving_up(state, day, "cover") else set()
        case _:
            return set(_seen_to(state).get(task.what, ()))


def _seen_to(state: State) -> dict[str, Sequence[str]]:
    """Work that is due of tanks, trays and things, whatever the day's cut: kind -> what it is due of."""
    return {
        "calibrate": state.uncalibrated,
        "check": state.unread,
        "topup": state.low,
        "water": state.to_water,
        "upkeep": state.upkeep,
    }


def _emptied(state: State, day: date) -> list[str]:
    """Towers that the day's cut empties or that are cleared: those of plants that give no more after it."""
    last = [one for _, one in ripe(state, day) if one.cuts + 1 >= state.calendars[one.crop].cuts]
    return [one.place for one in (*last, *spent(state))]


def _new(state: State, day: date, kept: Sequence[Work]) -> list[Work]:
    """New tasks in order, of each kind as many as the day still takes beside those carried over."""
    taken = {(work.what, place) for work in kept for place in work.places}

    def left(what: str, jobs: Iterable[Job]) -> list[Work]:
        """Tasks of those jobs that no task carried over has."""
        return fitting(what, _grouped(what, (job for job in jobs if (what, job[1]) not in taken), state))

    def fitting(what: str, works: list[Work]) -> list[Work]:
        """As many of them as the day still takes."""
        return works[: max(0, sizes()[what].most - sum(work.what == what for work in kept))]

    made = {what: left(what, ((None, place) for place in due)) for what, due in _seen_to(state).items()}
    made["harvest"] = left("harvest", ((one.crop, one.place) for _, one in ripe(state, day)))
    made["clear"] = left("clear", ((one.crop, one.place) for one in spent(state)))
    made["clean"] = left(
        "clean", ((None, place) for place in _to_clean(state, day, [*kept, *made["harvest"], *made["clear"]]))
    )
    cleaned = [place for work in (*kept, *made["clean"]) if work.what == "clean" for place in work.places]
    made["move"] = fitting("move", _into_towers(state, day, kept, cleaned))
    made["uncover"] = fitting("uncover", _onto_shelves(state, day, kept))
    made["sow"] = fitting("sow", _sowing(state, kept))
    return [work for what in sizes() for work in made[what]]


def _to_clean(state: State, day: date, works: Sequence[Work]) -> list[str]:
    """Dirty towers, and after them those that the day's tasks will empty."""
    touched = {place for work in works if work.what in ("harvest", "clear") for place in work.places}
    return [*sorted(state.dirty, key=place_order), *(place for place in _emptied(state, day) if place in touched)]


def _grouped(what: str, jobs: Iterable[Job], state: State) -> list[Work]:
    """Jobs drawn together into tasks a crop, in walking order, no task larger than one goes at once."""
    places: dict[str | None, list[str]] = defaultdict(list)
    for crop, place in jobs:
        places[crop].append(place)
    return [
        _work(what, crop, run, state) for crop, codes in places.items() for run in _runs(codes, sizes()[what].at_once)
    ]


def _runs(codes: Sequence[str], at_once: int) -> Iterator[tuple[str, ...]]:
    """Places in the order given, in runs of about the same length no longer than one goes at once, each a walk."""
    once = list(dict.fromkeys(codes))
    length = math.ceil(len(once) / math.ceil(len(once) / at_once))
    walk = sorted(once, key=place_order) if len(once) <= at_once else once
    for start in range(0, len(walk), length):
        yield tuple(sorted(walk[start : start + length], key=place_order))


def _into_towers(state: State, day: date, kept: Sequence[Work], cleaned: Sequence[str]) -> list[Work]:
    """Transplanting: each crop that is due gets the next free towers, those of open tasks left to them.

    Where free ones run out, those that are cleaned the same day come next: cleaning stands before planting.
    """
    held = {place: work.crop for work in kept if work.what == "move" for place in work.places}
    free = [place for place in (*sorted(state.free, key=place_order), *cleaned) if place not in held]
    jobs: list[Job] = []
    for crop, plants in sorted(moving_up(state, day, "shelf").items()):
        left = plants - sum(_sites(state, place) for place, for_crop in held.items() if for_crop == crop)
        while left > 0 and free:
            place = free.pop(0)
            jobs.append((crop, place))
            left -= _sites(state, place)
    return _grouped("move", jobs, state)


def _sites(state: State, place: str) -> int:
    return state.sites.get(place) or state.sites_per_tower


def _onto_shelves(state: State, day: date, kept: Sequence[Work]) -> list[Work]:
    """Trays from under the cover, each crop to the shelf with most room."""
    carried = {work.crop for work in kept if work.what == "uncover"}
    room = dict(state.shelf_room)
    works = []
    for crop, plants in sorted(moving_up(state, day, "cover").items()):
        shelf = max(room, key=lambda code: room[code], default=None)
        if crop in carried or shelf is None or room[shelf] <= 0:
            continue
        room[shelf] -= plants
        trays = round(plants / state.tray_cells, 1)
        works.append(_work("uncover", crop, (shelf,), state, trays=trays))
    return works


def _sowing(state: State, kept: Sequence[Work]) -> list[Work]:
    """Trays of what is wanted this week, the most wanted crop first."""
    carried = {work.crop for work in kept if work.what == "sow"}
    wanted = sorted(state.to_sow.items(), key=lambda one: (-one[1], one[0]))
    return [
        _work("sow", crop, (), state, trays=trays_for(plugs, state.tray_cells))
        for crop, plugs in wanted
        if crop not in carried
    ]


def trays_for(plugs: int, tray_cells: int) -> float:
    """Trays for so many plugs: quarters where it comes to whole ones, as the plan has it, or else half trays."""
    quarters, left = divmod(4 * plugs, tray_cells)
    return half_trays(plugs, tray_cells) if left else quarters / 4


def half_trays(plugs: int, tray_cells: int) -> float:
    """Trays for so many plugs, in half trays, rounded up."""
    return math.ceil(2 * plugs / tray_cells) / 2


def _work(what: str, crop: str | None, places: tuple[str, ...], state: State, trays: float | None = None) -> Work:
    work = Work(what, 0, crop, places, trays)
    return replace(work, minutes=minutes_for(what, work.units, state.minutes))


def _next_cut(state: State, one: Planted) -> date | None:
    return next_cut(state.calendars[one.crop], one.since, one.cuts, one.last_cut)


def _in(state: State, kind: str) -> Iterator[Planted]:
    return (one for one in state.planted if one.kind == kind)
