"""The farm place by place, as one walks by: what stands where, how old it is against its plan, what is free."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from core.crops import CropDays, Stage, next_cut, stage, up_on
from core.places import Life, place_order
from core.tasks import Planted
from core.vocabulary import PLACE_CODE

SpotState = Literal["ready", "spent", "growing", "regrowing", "seedlings", "free", "to clean", "out"]
"""Of a place: plants to cut, plants that gave their last cut, plants on their way, seedlings, or nothing and why."""

STATES: dict[Stage, SpotState] = {
    "ready": "ready",
    "cut": "spent",
    "growing": "growing",
    "regrowing": "regrowing",
    "on the shelves": "seedlings",
    "covered": "seedlings",
}
URGENT: tuple[SpotState, ...] = ("ready", "spent", "regrowing", "growing", "seedlings")
"""Where several batches share a place, the first of these is what the place is shown as."""

EMPTY: dict[str, SpotState] = {"ready": "free", "to clean": "to clean", "out": "out"}


@dataclass(frozen=True, slots=True)
class Held:
    """Plants of one batch in a place: on the `day`-th of `days` planned until `due`, when they are cut or move up.

    `days` and `due` are None once they have given their last cut.
    """

    crop: str
    batch: str
    plants: int
    sown_on: date
    since: date
    cuts: int
    state: SpotState
    day: int
    days: int | None
    due: date | None


@dataclass(frozen=True, slots=True)
class Spot:
    """One place and what it holds; `row` is what its code begins with, "" for shelves and the like."""

    code: str
    kind: str
    life: Life
    sites: int
    state: SpotState
    held: tuple[Held, ...]

    @property
    def row(self) -> str:
        """The row it stands in."""
        match = PLACE_CODE.fullmatch(self.code)
        return match[1] if match else ""

    @property
    def plants(self) -> int:
        """How many plants stand there."""
        return sum(one.plants for one in self.held)


def held(crop: CropDays, planted: Planted, batch: str, sown_on: date, today: date) -> Held:
    """Plants of a batch in a place as they are on a day; `planted.kind` is the place's part of a plant's life."""
    where = (planted.kind, planted.since)
    due = up_on(crop, *where) or next_cut(crop, planted.since, planted.cuts, planted.last_cut)
    regrows = planted.last_cut if planted.cuts and planted.kind == "tower" else None
    began = regrows or planted.since
    return Held(
        crop=planted.crop,
        batch=batch,
        plants=planted.plants,
        sown_on=sown_on,
        since=planted.since,
        cuts=planted.cuts,
        state=STATES[stage(crop, *where, today, planted.cuts, planted.last_cut)],
        day=(today - began).days,
        days=(due - began).days if due else None,
        due=due,
    )


def spot(code: str, kind: str, life: Life, sites: int, state: str, there: Sequence[Held]) -> Spot:
    """A place with what it holds, in a state of its own or that of its plants."""
    states = {one.state for one in there}
    shown = next((one for one in URGENT if one in states), EMPTY.get(state, "free"))
    return Spot(code, kind, life, sites, shown, tuple(there))


def in_rows(spots: Iterable[Spot]) -> dict[str, list[Spot]]:
    """Places by row in walking order; those without one (shelves, cover) under ""."""
    rows: dict[str, list[Spot]] = {}
    for one in sorted(spots, key=lambda each: place_order(each.code)):
        rows.setdefault(one.row, []).append(one)
    return rows


def in_runs(spots: Iterable[Spot]) -> Iterator[list[Spot]]:
    """Neighbours that hold the same, drawn together; the places come in walking order."""
    run: list[Spot] = []
    for one in spots:
        if run and (one.row != run[-1].row or not one.row or _same(one) != _same(run[-1])):
            yield run
            run = []
        run.append(one)
    if run:
        yield run


def _same(one: Spot) -> tuple[object, ...]:
    return one.kind, one.state, one.held
