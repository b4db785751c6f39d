"""Crop profiles, and what follows from one: when plants move up, when they are cut, and what stage they are in.

The figures are data (crops.toml, each with its unit and source). The rules take a profile or a farm's own copy of it
(the Crop table): both have the same fields.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import Any, Literal, Protocol

from core.errors import NoSuchCrop

Stage = Literal["covered", "on the shelves", "growing", "ready", "regrowing", "cut"]


@dataclass(frozen=True, slots=True)
class CropProfile:
    """A crop as it is usually grown.

    cover_days, shelf_days, tower_days: days under the dome, on the shelves, and in the towers to the first cut.
    regrow_days: days between cuts; None for a crop that is cut once. cuts: how many a plant gives.
    germination: share of seeds that come up, 0 to 1. mass_g: one head or bunch. [g]
    ranges: measure -> (least, most), in the measure's unit; "dli" is the light of a day [mol/m2/d], "germ_temp" the
        warmth seed comes up in. [degC]
    spread: stage ("cover", "shelf", "tower", "regrow") -> days more or less that nine in ten batches need.
    losses: stage -> share of the plants lost in it, 0 to 1.
    window_days: how long what is ready can wait. [days] spacing_cm: between plants. [cm]
    sources: figure or measure -> where it comes from.
    """

    slug: str
    kind: str
    names: Mapping[str, tuple[str, ...]]
    plurals: Mapping[str, str]
    cover_days: int
    shelf_days: int
    tower_days: int
    regrow_days: int | None
    cuts: int
    germination: float
    seeds_per_plug: int
    mass_g: float
    ranges: Mapping[str, tuple[float, float]]
    spread: Mapping[str, float]
    losses: Mapping[str, float]
    window_days: int
    spacing_cm: float | None
    sources: Mapping[str, str]


class CropDays(Protocol):
    """The days of a crop: all the rules below need of a profile. [days]"""

    @property
    def cover_days(self) -> int: ...  # noqa: D102
    @property
    def shelf_days(self) -> int: ...  # noqa: D102
    @property
    def tower_days(self) -> int: ...  # noqa: D102
    @property
    def regrow_days(self) -> int | None: ...  # noqa: D102
    @property
    def cuts(self) -> int: ...  # noqa: D102


@cache
def profiles() -> Mapping[str, CropProfile]:
    """Every profile that is shipped, by slug."""
    data = tomllib.loads(Path(__file__).with_suffix(".toml").read_text("utf-8"))
    return {slug: profile_of(slug, crop) for slug, crop in data.items()}


@cache
def crop_names() -> Mapping[str, str]:
    """What people call the crops there are profiles of, in any language -> which crop it is."""
    return {way: slug for slug, crop in profiles().items() for ways in crop.names.values() for way in ways}


def profile(slug: str) -> CropProfile:
    """The profile of one crop.

    Raises:
        NoSuchCrop: there is none of that name; the message lists those there are.
    """
    try:
        return profiles()[slug]
    except KeyError:
        raise NoSuchCrop(slug, sorted(profiles())) from None


def up_on(crop: CropDays, kind: str, since: date) -> date | None:
    """The day plants that came to a place on `since` move up: off the cover, or into the towers.

    Args:
        crop: its days.
        kind: of the place: "cover", "shelf" or "tower".
        since: the day they came there; for the cover, the day they were sown.

    Returns:
        None in a tower, the last place.
    """
    days = {"cover": crop.cover_days, "shelf": crop.shelf_days}.get(kind)
    return None if days is None else since + timedelta(days=days)


def ready_on(crop: CropDays, in_towers_since: date) -> date:
    """The first day to cut plants that came into the towers on a day."""
    return in_towers_since + timedelta(days=crop.tower_days)


def next_cut(crop: CropDays, in_towers_since: date, cuts: int = 0, last_cut: date | None = None) -> date | None:
    """The next day to cut plants in a tower.

    Args:
        crop: its days.
        in_towers_since: the day they came into the towers.
        cuts: how many were taken so far.
        last_cut: the day of the last one; needed where there was one.

    Returns:
        None when the plants have given all their cuts.
    """
    if cuts == 0 or last_cut is None:
        return ready_on(crop, in_towers_since)
    if crop.regrow_days is None or cuts >= crop.cuts:
        return None
    return last_cut + timedelta(days=crop.regrow_days)


def stage(crop: CropDays, kind: str, since: date, day: date, cuts: int = 0, last_cut: date | None = None) -> Stage:
    """How far plants are on a day; the arguments are those of `up_on` and `next_cut`. "cut" plants give no more."""
    if kind != "tower":
        return "covered" if kind == "cover" else "on the shelves"
    due = next_cut(crop, since, cuts, last_cut)
    if due is None:
        return "cut"
    if due <= day:
        return "ready"
    return "regrowing" if cuts else "growing"


def profile_of(slug: str, crop: Mapping[str, Any]) -> CropProfile:
    """A profile from its table in a TOML file, which is taken to be whole."""
    figures, ranges = crop["figures"], crop["ranges"]
    values = {name: figure["value"] for name, figure in figures.items()}
    return CropProfile(
        slug=slug,
        kind=crop["kind"],
        names={language: tuple(names) for language, names in crop["names"].items()},
        plurals=crop["plurals"],
        ranges={measure: (row["least"], row["most"]) for measure, row in ranges.items()},
        spread=by_stage(values, "_spread"),
        losses=by_stage(values, "_loss"),
        sources={name: row["source"] for name, row in (figures | ranges).items()},
        **{"regrow_days": None} | {name: value for name, value in values.items() if not name.endswith(STAGED)},
    )


STAGED = ("_spread", "_loss")
"""Ends of the names of figures that each stage has its own of."""


def by_stage(values: Mapping[str, float], end: str) -> dict[str, float]:
    """Stage -> its figure: {"tower_loss": 0.03} is {"tower": 0.03}."""
    return {name.removesuffix(end): value for name, value in values.items() if name.endswith(end)}
