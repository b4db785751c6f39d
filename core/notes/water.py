"""What is said of water, air and supplies, and of trouble."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar

from core.notes.note import Note

MEASURES = ("ph", "ec", "water_temp", "air_temp", "humidity", "co2", "level", "oxygen")
TANK_MEASURES = ("ph", "ec", "water_temp", "level", "oxygen")
ADDABLE = ("water", "nutrient_a", "nutrient_b", "calcium_nitrate", "ph_down", "ph_up")
TROUBLES = (
    *("leak", "pump", "pest", "disease", "alarm", "power", "heat", "cold", "light", "algae", "smell", "door"),
    *("injury", "fire", "sensor", "other"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading(Note):
    """One measurement: `measure` is one of MEASURES, `value` in that measure's unit, `where` a tank or "room"."""

    act: ClassVar[str] = "reading"
    measure: str | None = None
    value: float | None = None
    where: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Added(Note):
    """`amount_ml` of `item` (water, a nutrient, an acid or base) was put into a tank."""

    act: ClassVar[str] = "added"
    item: str | None = None
    amount_ml: float | None = None
    where: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibrated(Note):
    """A probe was calibrated; what it had `shown` in the `standards`, slope and offset where somebody was led."""

    act: ClassVar[str] = "calibrated"
    measure: str | None = None
    where: str | None = None
    slope_pct: float | None = None
    offset_mv: float | None = None
    standards: tuple[float, ...] = ()
    shown: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock(Note):
    """Supplies: `state` is out, low, have or received; `crop` names the seed."""

    act: ClassVar[str] = "stock"
    item: str | None = None
    crop: str | None = None
    state: str | None = None
    amount: float | None = None
    unit: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble(Note):
    """Something is wrong: `kind` is one of TROUBLES; `where` places, a tank or "room"."""

    act: ClassVar[str] = "trouble"
    kind: str | None = None
    where: tuple[str, ...] = field(default=(), metadata={"single": True})
    crop: str | None = None
