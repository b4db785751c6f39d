"""A note in a few words: what is taken back, waits, or is asked about."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from core.notes import Note
from core.outcome import Fact, fact


def brief(note: Note) -> Fact:
    """A fact that names what a note says: its slots, and those that belong together as one value.

    `of` is a crop with count and mass (`only` the crop, or `number`, where nothing else was said), `reading` a measure
    with its value (`unread` one without), `supply` a supply with its crop.
    """
    values: dict[str, Any] = {slot.name: getattr(note, slot.name) for slot in fields(note)}
    crop, count, weight_g = values.get("crop"), values.get("count"), values.get("weight_g")
    if crop and (count is not None or weight_g):
        values["of"] = {"crop": crop, "count": count, "weight_g": weight_g}
    values["only"] = crop if "of" not in values else None
    values["number"] = count if crop is None else None
    if values.get("measure") and values.get("value") is not None:
        values["reading"] = {"measure": values["measure"], "value": values["value"]}
    elif values.get("measure"):
        values["unread"] = values["measure"]
    if values.get("item"):
        values["supply"] = {"item": values["item"], "crop": crop}
    return fact(f"brief_{note.act}", **values)
