"""How long work takes and how many people it is for: by data, and by the farm's own history once there is enough."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from statistics import median

ENOUGH = 5
"""Tasks of a kind whose time is known before the farm's own figure replaces the data's. Common practice, no source."""

AT_A_STRETCH_MIN = 45
"""Minutes one person is asked to go on without a pause; longer work is for two or more. Common practice, no source."""

LEAST_SHARE, MOST_SHARE = 0.25, 4
"""A learnt figure stays within these shares of the data's: beyond them somebody forgot to say when they were done."""


@dataclass(frozen=True, slots=True)
class Size:
    """One kind of work, as tasks.toml has it; `skill` is what somebody there has to be trained in."""

    unit: str
    minutes: int
    at_once: int
    most: int
    adults: bool
    source: str
    skill: str | None = None


@cache
def sizes() -> Mapping[str, Size]:
    """Every kind of work, in the order it is done."""
    data = tomllib.loads(Path(__file__).with_name("tasks.toml").read_text("utf-8"))
    return {what: Size(**row) for what, row in data.items()}


def learnt(what: str, times: Sequence[tuple[float, float]]) -> float | None:
    """Minutes a unit takes one person on this farm.

    Args:
        what: the kind of work.
        times: (minutes, units) of each task of the kind whose time is known, the newest last.

    Returns:
        The median of minutes a unit, held within reason; None where too few are known.
    """
    rates = [minutes / units for minutes, units in times if minutes > 0 and units > 0]
    if len(rates) < ENOUGH:
        return None
    usual = sizes()[what].minutes
    return min(max(median(rates), LEAST_SHARE * usual), MOST_SHARE * usual)


def minutes_for(what: str, units: float, known: Mapping[str, float]) -> int:
    """Minutes of work for one person, to five minutes up; `known` holds the kinds the farm has learnt."""
    return max(5, 5 * math.ceil(known.get(what, sizes()[what].minutes) * units / 5 - 1e-9))


def people_for(minutes: int) -> int:
    """How many people a task is for."""
    return max(1, math.ceil(minutes / AT_A_STRETCH_MIN))
