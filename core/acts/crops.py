"""Crops the farm grows from now on, or grows otherwise than its books have it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from core.acts.naming import things
from core.acts.scene import Scene
from core.books import growing
from core.books.ledger import Writing
from core.books.tables import Crop
from core.crop_files import bounds, like, slug_of
from core.crops import CropProfile, profiles
from core.errors import Refused
from core.notes import DescribeCrop
from core.outcome import Fact, Outcome, fact

FIGURES = tuple(one.name for one in fields(DescribeCrop) if one.name not in ("name", "crop", "new"))


def describe(note: DescribeCrop, scene: Scene) -> Outcome:
    """Add a crop grown like another one but for what was said, or change what was said of one of the farm's.

    Raises:
        Refused: "name_taken", "no_such_crop", "crop_figure" (out of bounds), "crop_regrow" (cut again, but after how
            many days?).
    """
    said = {name: value for name in FIGURES if (value := getattr(note, name)) is not None}
    for figure, value in said.items():
        _check(figure, value)
    if note.new:
        return _add(note, said, scene)
    crop = str(note.crop)
    grown = growing.crops(scene.ledger)[crop]
    if said.get("cuts", grown.cuts) > 1 and said.get("regrow_days", grown.regrow_days) is None:
        raise Refused("crop_regrow", crop=crop)
    writing = scene.enter(note)
    writing.put(Crop, {"slug": crop}, **said)
    return Outcome((_told(growing.crops(scene.ledger)[crop]),), entry=writing.n)


def _check(figure: str, value: float) -> None:
    within = bounds()[figure]
    if value not in within:
        raise Refused("crop_figure", figure=figure, value=value, least=within.least, most=within.most)


def _add(note: DescribeCrop, said: Mapping[str, float], scene: Scene) -> Outcome:
    name, grown = str(note.name), growing.crops(scene.ledger)
    taken = {way for _, _, way in things(scene.vocabulary)}
    if name.casefold() in taken or slug_of(name) in grown:
        raise Refused("name_taken", name=name)
    base = growing.grown(grown[note.crop]) if note.crop in grown else profiles().get(str(note.crop))
    if base is None or not slug_of(name):
        raise Refused("no_such_crop", name=note.crop or name)
    if said.get("cuts", base.cuts) > 1 and said.get("regrow_days", base.regrow_days) is None:
        raise Refused("crop_regrow", crop=name)
    made = like(base, name, scene.vocabulary.languages, said) if note.crop != slug_of(name) else like_itself(base, said)
    writing = scene.enter(note)
    keep(writing, made)
    return Outcome((_told(growing.crops(scene.ledger)[made.slug]),), entry=writing.n)


def like_itself(base: CropProfile, said: Mapping[str, float]) -> CropProfile:
    """One of our profiles under its own names, with the figures that were said."""
    made = like(base, base.slug, (), said)
    return type(base)(**{one.name: getattr(made, one.name) for one in fields(made)} | _names(base))


def _names(base: CropProfile) -> dict[str, Any]:
    return {"names": base.names, "plurals": base.plurals, "slug": base.slug}


def take_up(crop: CropProfile, scene: Scene) -> int:
    """A crop from a file becomes one of the farm's, or gives one of them its values.

    Returns:
        The entry's number.

    Raises:
        Refused: "name_taken" by another thing of the farm.
    """
    taken = {way for family, slug, way in things(scene.vocabulary) if (family, slug) != ("crop", crop.slug)}
    for way in (way.casefold() for ways in crop.names.values() for way in ways):
        if way in taken:
            raise Refused("name_taken", name=way)
    writing = scene.ledger.enter("crop_file", scene.told)
    keep(writing, crop)
    return writing.n


def keep(writing: Writing, crop: CropProfile) -> None:
    """Write a crop into the books as the farm grows it."""
    values = {name: getattr(crop, name) for name in Crop.model_fields if name != "farm_id"}
    plain = {
        "names": {language: list(ways) for language, ways in crop.names.items()},
        "ranges": {measure: list(ends) for measure, ends in crop.ranges.items()},
        **{name: dict(values[name]) for name in ("plurals", "spread", "losses")},
    }
    values |= plain
    if crop.slug in growing.crops(writing.ledger):
        writing.put(Crop, {"slug": values.pop("slug")}, **values)
    else:
        writing.record(Crop, **values)


def _told(crop: Crop) -> Fact:
    days = {name: getattr(crop, name) for name in ("cover_days", "shelf_days", "tower_days", "regrow_days", "cuts")}
    return fact("crop" if crop.regrow_days else "crop_once", crop=crop.slug, **days)
