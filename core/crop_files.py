"""Crops that are not in our profiles: made like a known one with some figures changed, or read from a TOML file.

A file is one crop as in crops.toml, or only what differs from the crop it says it is `like`. Figures may stand bare
(`tower_days = 21`) or with their source. All faults are told at once.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

from core.crops import STAGED, CropProfile, by_stage
from core.errors import BadCrop

KINDS = ("whole head", "cut and regrow", "cut once")
REQUIRED = ("cover_days", "shelf_days", "tower_days", "cuts", "germination", "seeds_per_plug", "mass_g")
WHOLE = ("cover_days", "shelf_days", "tower_days", "regrow_days", "cuts", "seeds_per_plug", "window_days")
OWN_FIGURE = "the farm's own"
"""Source of a figure for which the farm names none."""

SLUG = re.compile(r"[a-z][a-z0-9_]{1,30}")


@dataclass(frozen=True, slots=True)
class Bounds:
    """Between which values a figure can be right."""

    least: float
    most: float

    def __contains__(self, value: object) -> bool:
        return isinstance(value, int | float) and not isinstance(value, bool) and self.least <= value <= self.most


@cache
def bounds() -> Mapping[str, Bounds]:
    """The bounds of every figure, and of the ends of a measure's range by the measure."""
    data = tomllib.loads(Path(__file__).with_name("crop_bounds.toml").read_text("utf-8"))
    ranges = data.pop("ranges")
    return {name: Bounds(**row) for name, row in (data | ranges).items()}


def slug_of(name: str) -> str:
    """ "Thai Basil" is "thai_basil"."""
    return re.sub(r"[^a-z0-9]+", "_", name.casefold()).strip("_")


def like(base: CropProfile, name: str, languages: Iterable[str], figures: Mapping[str, float]) -> CropProfile:
    """A crop called by a name in some languages, grown as another one is but for the figures said.

    Raises:
        BadCrop: a figure is out of bounds.
    """
    faults = list(_out_of_bounds(figures))
    if faults:
        raise BadCrop(faults)
    values: dict[str, Any] = {name: int(value) if name in WHOLE else value for name, value in figures.items()}
    cuts = values.get("cuts", base.cuts)
    if cuts == 1:
        values["regrow_days"] = None
    elif base.regrow_days is None and values.get("regrow_days") is None:
        raise BadCrop([f"{cuts:g} cuts: say also how many days between cuts"])
    return replace(
        base,
        slug=slug_of(name),
        kind=_kind_of(base, cuts),
        names=dict.fromkeys(languages, (name,)),
        plurals=dict.fromkeys(languages, name),
        sources={**base.sources, **dict.fromkeys(values, OWN_FIGURE)},
        **values,
    )


def _kind_of(base: CropProfile, cuts: float) -> str:
    """The kind of a crop that gives so many cuts and is otherwise like another one."""
    if cuts > 1:
        return "cut and regrow"
    return "cut once" if base.kind == "cut and regrow" else base.kind


def read_crop(text: str, known: Mapping[str, CropProfile]) -> CropProfile:
    """The crop that a TOML file describes.

    Args:
        text: the file.
        known: the profiles it may say it is like.

    Raises:
        BadCrop: with every fault of the file, each in words.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadCrop([f"this is no TOML: {error}"]) from None
    if len(data) != 1 or not isinstance(next(iter(data.values())), dict):
        raise BadCrop(["a file holds one crop: one table [name_of_the_crop] with all that belongs to it"])
    slug, crop = next(iter(data.items()))
    base = known.get(str(crop.get("like")))
    faults = list(_faults(slug, crop, base, known))
    if faults:
        raise BadCrop(faults)
    return _made(slug, crop, base)


def _faults(slug: str, crop: Mapping[str, Any], base: CropProfile | None, known: Mapping[str, Any]) -> Iterator[str]:
    if not SLUG.fullmatch(slug):
        yield f"[{slug}]: a crop's name in the file has small letters, digits and _ only, like thai_basil"
    if "like" in crop and base is None:
        yield f"like = {crop['like']!r}: no such crop; there are {', '.join(sorted(known))}"
    for field in set(crop) - {"like", "kind", "names", "plurals", "figures", "ranges"}:
        yield f"{field}: not known; a crop has like, kind, names, plurals, figures, ranges"
    if not _named(crop.get("names")):
        yield 'names: say how people write it, like names.en = ["thai basil"]'
    if "kind" in crop and crop["kind"] not in KINDS:
        yield f"kind = {crop['kind']!r}: it is one of {', '.join(KINDS)}"
    if base is None and "kind" not in crop:
        yield f"kind: missing; it is one of {', '.join(KINDS)}"
    yield from _figure_faults(crop, base)
    yield from _range_faults(_table(crop, "ranges"))


def _figure_faults(crop: Mapping[str, Any], base: CropProfile | None) -> Iterator[str]:
    figures = {name: _bare(value) for name, value in _table(crop, "figures").items()}
    if base is None:
        yield from (f"{name}: missing" for name in REQUIRED if name not in figures)
    yield from (f"{name}: no such figure; there are {', '.join(bounds())}" for name in set(figures) - set(bounds()))
    yield from _out_of_bounds({name: value for name, value in figures.items() if name in bounds()})
    cuts = figures.get("cuts", base.cuts if base else 1)
    regrows = figures.get("regrow_days", base.regrow_days if base else None)
    if isinstance(cuts, int) and cuts > 1 and regrows is None:
        yield f"cuts = {cuts}: a crop cut again needs regrow_days"


def _out_of_bounds(figures: Mapping[str, Any]) -> Iterator[str]:
    for name, value in figures.items():
        within = bounds()[name]
        if value not in within:
            yield f"{name} = {value}: it lies between {within.least:g} and {within.most:g}"
        elif name in WHOLE and value != int(value):
            yield f"{name} = {value}: it is a whole number"


def _range_faults(ranges: Mapping[str, Any]) -> Iterator[str]:
    for measure, row in ranges.items():
        if measure not in bounds():
            yield f"{measure}: no such measure"
        elif not isinstance(row, dict) or {"least", "most"} - set(row):
            yield f"{measure}: a range is {{ least = ..., most = ... }}"
        elif not (row["least"] in bounds()[measure] and row["most"] in bounds()[measure]):
            yield f"{measure}: it lies between {bounds()[measure].least:g} and {bounds()[measure].most:g}"
        elif row["least"] >= row["most"]:
            yield f"{measure}: least ({row['least']}) must be below most ({row['most']})"


def _named(names: Any) -> bool:
    """Whether names are given as language -> list of texts."""
    return (
        isinstance(names, dict)
        and bool(names)
        and all(
            isinstance(ways, list) and ways and all(isinstance(way, str) for way in ways) for ways in names.values()
        )
    )


def _table(crop: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    value = crop.get(name, {})
    return value if isinstance(value, dict) else {}


def _bare(value: Any) -> Any:
    return value.get("value") if isinstance(value, dict) else value


def _made(slug: str, crop: Mapping[str, Any], base: CropProfile | None) -> CropProfile:
    """The profile of a file without faults."""
    own = {name: _bare(value) for name, value in _table(crop, "figures").items()}
    source = {
        name: row.get("source", OWN_FIGURE) for name, row in _table(crop, "figures").items() if isinstance(row, dict)
    }
    ranges = {name: (row["least"], row["most"]) for name, row in _table(crop, "ranges").items()}
    names = {language: tuple(ways) for language, ways in crop["names"].items()}
    figures = {name: value for name, value in own.items() if not name.endswith(STAGED)}
    cuts = figures.get("cuts", base.cuts if base else 1)
    rest = {
        "kind": crop.get("kind", base.kind if base else None),
        "plurals": crop.get("plurals", {language: ways[0] for language, ways in names.items()}),
        "ranges": {**(base.ranges if base else {}), **ranges},
        "spread": {**(base.spread if base else {}), **by_stage(own, "_spread")},
        "losses": {**(base.losses if base else {}), **by_stage(own, "_loss")},
        "sources": {**(base.sources if base else {}), **dict.fromkeys(own, OWN_FIGURE), **source},
    }
    kept = {} if base is None else {name: getattr(base, name) for name in CropProfile.__dataclass_fields__}
    bare = {"regrow_days": None, "window_days": 7, "spacing_cm": None}
    made = CropProfile(**{**bare, **kept, **figures, **rest, "slug": slug, "names": names})
    return made if cuts > 1 else replace(made, regrow_days=None)
