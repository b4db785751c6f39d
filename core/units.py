"""Units of instruments and labels, converted: temperatures, conductivities with both ppm scales, volumes, masses.

The factors are in units.toml, a source beside each. Inside the farm everything is in the base unit of its kind.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

from core.errors import NotListed, OutOfRange


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of a kind: value in the kind's base unit = value * `factor` + `shift`."""

    name: str
    kind: str
    factor: float
    shift: float
    source: str


@lru_cache
def units() -> dict[str, Unit]:
    """Every unit by its name."""
    text = resources.files(__package__).joinpath("units.toml").read_text(encoding="utf-8")
    return {name: Unit(name=name, **row) for name, row in tomllib.loads(text).items()}


def convert(value: float, unit: str, to: str) -> float:
    """A value in one unit, given in another of its kind.

    Args:
        value: the number as written.
        unit: its unit, a name of units.toml ("degF", "uS/cm", "ppm500").
        to: the unit wanted ("degC", "mS/cm").

    Raises:
        NotListed: there is no such unit.
        OutOfRange: the two are not of one kind.
    """
    here, there = _unit(unit), _unit(to)
    if here.kind != there.kind:
        raise OutOfRange(f"{unit} is a unit of {here.kind}, {to} one of {there.kind}", "name two units of one kind")
    return (value * here.factor + here.shift - there.shift) / there.factor


def _unit(name: str) -> Unit:
    found = units().get(name)
    if found is None:
        raise NotListed("unit", name, list(units()))
    return found
