"""Crops, and how much of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from service.words.forms.manner import Manner, number

GRAMS_A_POUND = 453.592
"""International avoirdupois pound. Source: NIST Handbook 44, appendix C (0.45359237 kg)."""


def crop(manner: Manner, slug: str) -> str:
    """A crop's name, as the farm says it in this language."""
    words = manner.vocabulary.crops.get(slug)
    names = words.names.get(manner.language) or words.names.get("en") if words else None
    return names[0] if names else slug.replace("_", " ")


def crops(manner: Manner, slugs: Sequence[str]) -> str:
    """Several crops' names."""
    return ", ".join(crop(manner, slug) for slug in slugs)


def mass(manner: Manner, grams: float) -> str:
    """A mass in the farm's own unit."""
    if manner.vocabulary.weight_unit == "lb":
        return f"{number(manner, round(grams / GRAMS_A_POUND, 1))} lb"
    return f"{number(manner, grams / 1000)} kg" if grams >= 1000 else f"{round(grams)} g"


def amount(manner: Manner, value: Mapping[str, Any]) -> str:
    """So much of a crop: {"crop", "count" (heads or bunches), "weight_g"}."""
    words = manner.vocabulary.crops.get(value["crop"])
    name = crop(manner, value["crop"])
    count, weight_g = value.get("count"), value.get("weight_g")
    weight = mass(manner, weight_g) if weight_g else ""
    if count is None:
        return str(manner.data["amounts"]["weight"].format(weight=weight, crop=name))
    unit = words.unit if words else "heads"
    if words and unit == "heads" and manner.plural(count) != "one":
        name = words.plurals.get(manner.language, name)
    said = manner.data["amounts"][f"{unit}_{manner.plural(count)}"].format(n=number(manner, count), crop=name)
    return f"{said} ({weight})" if weight else str(said)


def counted(manner: Manner, slug: str) -> str:
    """A crop in what it is counted by: "romaine", "bunches of mint"."""
    words = manner.vocabulary.crops.get(slug)
    unit = words.unit if words else "heads"
    name = words.plurals.get(manner.language) if words and unit == "heads" else None
    return str(manner.data["amounts"][f"{unit}_counted"].format(crop=name or crop(manner, slug)))


def amounts(manner: Manner, values: Sequence[Mapping[str, Any]]) -> str:
    """Several amounts."""
    return ", ".join(amount(manner, value) for value in values)


def trays(manner: Manner, n: float) -> str:
    """So many trays, halves too."""
    return str(manner.data["amounts"][f"tray_{manner.plural(n)}"].format(n=number(manner, n)))
