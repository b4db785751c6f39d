"""Measures with their values, supplies, recipients."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from service.words.forms.manner import Manner, number
from service.words.forms.produce import crop


def measure(manner: Manner, value: Mapping[str, Any]) -> str:
    """A reading with its measure: {"measure", "value"} is "pH 6.1", "air 74 F", "EC 1.8"."""
    return f"{manner.data['measures'][value['measure']]} {quantity(manner, value)}"


def measure_name(manner: Manner, slug: str) -> str:
    """A measure by its name alone."""
    return str(manner.data["measures"].get(slug, slug))


def quantity(manner: Manner, value: Mapping[str, Any]) -> str:
    """A reading's value in the unit people read: {"measure", "value"}."""
    unit = {"humidity": "%", "level": "%", "co2": " ppm", "oxygen": " mg/L"}.get(value["measure"], "")
    if value["measure"].endswith("temp"):
        return temperature(manner, value["value"])
    return f"{number(manner, float(value['value']))}{unit}"


def temperature(manner: Manner, celsius: float) -> str:
    """Degrees in the farm's own scale, without the sign that phones charge double for."""
    if manner.vocabulary.temperature_unit == "F":
        return f"{number(manner, round(celsius * 9 / 5 + 32, 1))} F"
    return f"{number(manner, round(celsius, 1))} C"


def difference(manner: Manner, value: Mapping[str, Any]) -> str:
    """How far a value of a measure is from another, in the unit people read: {"measure", "value"}."""
    far = float(value["value"])
    if not value["measure"].endswith("temp"):
        return quantity(manner, {"measure": value["measure"], "value": _rounded(far)})
    scale = manner.vocabulary.temperature_unit
    return f"{number(manner, _rounded(far * 9 / 5 if scale == 'F' else far))} {scale}"


def _rounded(far: float) -> float:
    """To a tenth; a smaller one to a hundredth."""
    return round(far, 1 if abs(far) >= 0.095 else 2)


def volume(manner: Manner, millilitres: float) -> str:
    """Millilitres, or litres from one up."""
    return f"{number(manner, millilitres / 1000)} L" if millilitres >= 1000 else f"{number(manner, millilitres)} mL"


def named(manner: Manner, names: Mapping[str, Sequence[str]], fallback: str) -> str:
    """A thing of the farm by its first name in this language."""
    return (names.get(manner.language) or names.get("en") or (fallback.replace("_", " "),))[0]


def supply(manner: Manner, value: Mapping[str, Any]) -> str:
    """A supply: {"item", "crop" (of seed)} is "gloves", "kale seed"."""
    name = named(manner, manner.vocabulary.supplies.get(value["item"], {}), manner.term(value["item"]))
    return manner.data["amounts"]["seed"].format(crop=crop(manner, value["crop"])) if value.get("crop") else name


def supplies(manner: Manner, values: Sequence[Mapping[str, Any]]) -> str:
    """Several supplies."""
    return ", ".join(supply(manner, value) for value in values)


def stocked(manner: Manner, value: Mapping[str, Any]) -> str:
    """How much there is: {"amount", "unit", "item"} is "2 boxes"; no unit where the item's own name says it."""
    n, unit = value["amount"], value["unit"]
    if unit in value["item"]:
        return number(manner, n)
    one, other = manner.data["units"].get(unit, (unit, unit))
    return f"{number(manner, n)} {one if manner.plural(n) == 'one' else other}"


def recipient(manner: Manner, slug: str) -> str:
    """Somebody who is given produce."""
    return named(manner, manner.vocabulary.recipients.get(slug, {}), slug)
