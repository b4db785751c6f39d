"""What an instrument or a table of readings delivers, taken in or refused: its measure, unit, place, time and value.

Everything that is not said by a person in words comes through here, so that the same figure is judged the same whatever
way it came. Pure.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from core.errors import NotListed, OutOfRange
from core.notes import MEASURES, TANK_MEASURES
from core.readings.limits import limits, possible
from core.units import convert

UNITS: dict[str, dict[str, str]] = {
    "ph": {"": "", "ph": ""},
    "ec": {
        "ms/cm": "mS/cm",
        "ms": "mS/cm",
        "ds/m": "dS/m",
        "us/cm": "uS/cm",
        "us": "uS/cm",
        "ppm500": "ppm500",
        "ppm700": "ppm700",
    },
    **{one: {"c": "degC", "degc": "degC", "f": "degF", "degf": "degF"} for one in ("water_temp", "air_temp")},
    "humidity": {"": "", "%": ""},
    "co2": {"": "", "ppm": ""},
    "level": {"": "", "%": "", "l": "L", "gal": "gal"},
    "oxygen": {"": "", "mg/l": ""},
}
"""Measure -> unit as written, folded -> the unit it is; "" is the measure's own. EC and temperatures must name one."""

BASE = {"ec": "mS/cm", "water_temp": "degC", "air_temp": "degC"}
ROOM = "room"

AHEAD = timedelta(minutes=10)
"""Clocks of instruments may run so far ahead of ours. Common practice, no source."""

DECIMALS = 4
"""Kept after the point: more than any instrument on a farm shows, and no dust from conversions."""


@dataclass(frozen=True, slots=True)
class Raw:
    """One reading as delivered: nothing in it is believed yet. `unit` "" is none."""

    measure: str
    value: float
    unit: str
    where: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Taken:
    """One reading as it is kept: the value in the measure's own unit, in a tank or "room"."""

    measure: str
    value: float
    place: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Fault:
    """Why a reading is refused: `kind` names the reason, `said` is what was at fault, `valid` what could be there."""

    kind: str
    said: str
    valid: tuple[str, ...] = ()


def admit(raw: Raw, tanks: Mapping[str, float], now: datetime) -> Taken | Fault:
    """A reading as it is to be kept, or the first thing that is wrong with it.

    Args:
        raw: what was delivered.
        tanks: the farm's tanks and the litres each holds.
        now: the moment it came in.
    """
    return _fault(raw, tanks, now) or _converted(raw, tanks)


def _fault(raw: Raw, tanks: Mapping[str, float], now: datetime) -> Fault | None:
    if raw.measure not in MEASURES:
        return Fault("measure", raw.measure, MEASURES)
    if raw.at > now + AHEAD:
        return Fault("future", raw.at.isoformat())
    places = tuple(sorted(tanks)) if raw.measure in TANK_MEASURES else (ROOM,)
    if (raw.where or ROOM) not in places:
        return Fault("where", raw.where, places)
    return None


def _converted(raw: Raw, tanks: Mapping[str, float]) -> Taken | Fault:
    known = UNITS[raw.measure]
    unit = raw.unit.strip().casefold().replace("°", "").replace("µ", "u").replace("μ", "u")
    if unit not in known:
        return Fault("scale" if unit == "ppm" else "unit", raw.unit, _written(raw.measure))
    place = raw.where or ROOM
    try:
        value = _in_base(raw.measure, raw.value, known[unit], tanks.get(place, math.nan))
    except (NotListed, OutOfRange) as wrong:
        return Fault("unit", str(wrong))
    if not possible(raw.measure, value):
        limit = limits()[raw.measure, "possible"]
        return Fault(
            "impossible", f"{raw.value:g} {raw.unit}".strip(), (_span(limit.range.low, limit.range.high, limit.unit),)
        )
    return Taken(raw.measure, round(value, DECIMALS), place, raw.at)


def _written(measure: str) -> tuple[str, ...]:
    """The units in which a measure may be written."""
    own = (limits()[measure, "possible"].unit,) if "" in UNITS[measure] else ()
    return tuple(dict.fromkeys((*own, *(unit for unit in UNITS[measure].values() if unit))))


def _in_base(measure: str, value: float, unit: str, holds_l: float) -> float:
    """The value in the measure's own unit; a volume in a tank as the share of what it holds, in %."""
    if measure == "level" and unit:
        return 100 * convert(value, unit, "L") / holds_l
    return convert(value, unit, BASE[measure]) if unit else value


def _span(low: float, high: float, unit: str) -> str:
    return f"{low:g} to {high:g} {unit}"
