"""Trouble: what each kind means, who is told in which order, and when two reports are one. Pure."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from importlib import resources
from typing import Any


@dataclass(frozen=True, slots=True)
class Kind:
    """One row of trouble.toml; `next_after` is its `next_min`."""

    next_after: timedelta
    urgent: bool = False
    everyone: bool = False
    adults: bool = False
    apart: bool = False
    caution: str | None = None


@dataclass(frozen=True, slots=True)
class Within:
    """How long things belong together: the table [told] of trouble.toml as durations."""

    same: timedelta
    same_anywhere: timedelta
    bare: timedelta
    photo: timedelta
    waits: timedelta


@dataclass(frozen=True, slots=True)
class Able:
    """Somebody who may be in charge: their role, and whether they are on a shift at that moment."""

    person_id: int
    role: str
    on_shift: bool = False


@dataclass(frozen=True, slots=True)
class Told:
    """A trouble as one person told of it: its kind, places (or tank, or "room") and when."""

    kind: str
    places: tuple[str, ...]
    at: datetime


Waves = tuple[tuple[int, ...], ...]
"""Person numbers: who is told at once, then who is told next and next while nobody sees to it."""


@lru_cache
def kinds() -> dict[str, Kind]:
    """Every kind of trouble by name."""
    rows = {name: dict(row) for name, row in _data()["kinds"].items()}
    return {name: Kind(timedelta(minutes=row.pop("next_min")), **row) for name, row in rows.items()}


@lru_cache
def within() -> Within:
    """How long things belong together."""
    told = _data()["told"]
    hours = {name: timedelta(hours=told[f"{name}_h"]) for name in ("same", "same_anywhere", "bare", "waits")}
    return Within(photo=timedelta(minutes=told["photo_min"]), **hours)


def _data() -> dict[str, Any]:
    return tomllib.loads(resources.files(__package__).joinpath("trouble.toml").read_text(encoding="utf-8"))


def waves(kind: str, able: Sequence[Able]) -> Waves:
    """Who is told of a trouble, in which order.

    At once: the leads and coordinators on shift, all of them; where none is, the first lead; without leads, the first
    coordinator. Then one at a time: leads before coordinators, each in the order given. Of some kinds all at once.
    """
    ordered = sorted(able, key=lambda one: (not one.on_shift, one.role != "lead"))
    if kinds()[kind].everyone or not ordered:
        return (tuple(one.person_id for one in ordered),) if ordered else ()
    first = [one for one in ordered if one.on_shift] or ordered[:1]
    return (tuple(one.person_id for one in first), *((one.person_id,) for one in ordered[len(first) :]))


def turns(kind: str, order: Waves, began: datetime) -> Iterator[tuple[datetime, int]]:
    """When each one further is told while nobody sees to it; `began` is when the first were."""
    for at, wave in enumerate(order[1:], start=1):
        yield from ((began + at * kinds()[kind].next_after, person_id) for person_id in wave)


def is_same(one: Told, other: Told) -> bool:
    """Whether two reports are of one trouble: the same kind at the same place, or soon after where one names none."""
    if one.kind != other.kind or kinds()[one.kind].apart:
        return False
    apart = abs(one.at - other.at)
    if one.places and other.places:
        return apart <= within().same and not set(one.places).isdisjoint(other.places)
    return apart <= (within().same if one.places == other.places else within().same_anywhere)
