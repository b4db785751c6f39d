"""The words of one farm, read from its books."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import time
from typing import Any, TypeVar

from sqlmodel import Session, SQLModel, col, select

from core.books.tables import Alias, Crop, Farm, Person, Place, Recipient, Supply, Tank
from core.crops import crop_names
from core.errors import NoSuchFarm
from core.vocabulary import CropWords, Names, Vocabulary

Row = TypeVar("Row", bound=SQLModel)


def vocabulary(session: Session, farm_id: int) -> Vocabulary:
    """A farm's words as its books have them now.

    Raises:
        NoSuchFarm: there is no such farm in the books.
    """
    farm = session.get(Farm, farm_id)
    if farm is None:
        raise NoSuchFarm(f"no farm {farm_id}")
    rows: list[SQLModel] = []
    tables: tuple[Any, ...] = (Crop, Tank, Recipient, Supply, Alias)
    for table in tables:
        rows.extend(session.exec(select(table).where(table.farm_id == farm_id).order_by(*table.__table__.primary_key)))
    covers = session.exec(select(Place).where(Place.farm_id == farm_id, Place.kind == "cover")).all()
    here = select(Person.handle, Person.name).where(Person.farm_id == farm_id, Person.state == "here")
    people = dict(session.exec(here.order_by(col(Person.id))).all())
    return in_words(farm, [*rows, *covers], people)


def in_words(farm: Farm, rows: Iterable[SQLModel], people: Mapping[str, str]) -> Vocabulary:
    """A farm's words from its rows (crops, tanks, recipients, supplies, the cover's place) and its people's names.

    Args:
        farm: the farm itself.
        rows: of those tables, in the order of their keys.
        people: handle -> name of everybody of the crew.
    """
    rows = list(rows)
    return Vocabulary(
        farm=farm.name,
        timezone=farm.timezone,
        temperature_unit=farm.temperature_unit,
        weight_unit=farm.weight_unit,
        languages=tuple(farm.languages),
        opens=farm.opens,
        closes=farm.closes,
        day_parts={
            name: (time.fromisoformat(start), time.fromisoformat(end)) for name, (start, end) in farm.day_parts.items()
        },
        crops={
            crop.slug: CropWords(crop.slug, crop.kind, _named("crop", [crop], rows)[crop.slug], crop.plurals)
            for crop in _of(Crop, rows)
        },
        tower_rows=farm.tower_rows,
        sites_per_tower=farm.sites_per_tower,
        shelves=tuple(farm.shelves),
        tray_cells=farm.tray_cells,
        tanks=_named("tank", _of(Tank, rows), rows),
        recipients=_named("recipient", _of(Recipient, rows), rows),
        supplies=_named("supply", _of(Supply, rows), rows),
        people=people,
        row_kinds=farm.row_kinds or {},
        row_sites=farm.row_sites or {},
        growable=crop_names(),
        cover=next((place.code for place in _of(Place, rows) if place.kind == "cover"), "dome"),
    )


def _of(table: type[Row], rows: Iterable[SQLModel]) -> list[Row]:
    return [row for row in rows if isinstance(row, table)]


def _named(family: str, things: Iterable[Any], rows: Iterable[SQLModel]) -> dict[str, Names]:
    """Things by slug with the ways people write them, what the crew also calls them coming last."""
    aliases = [one for one in _of(Alias, rows) if one.family == family]
    return {
        thing.slug: _frozen(thing.names, [one.phrase for one in aliases if one.slug == thing.slug]) for thing in things
    }


def _frozen(names: Mapping[str, Iterable[str]], also: Iterable[str]) -> Names:
    return {language: (*ways, *also) for language, ways in names.items()}
