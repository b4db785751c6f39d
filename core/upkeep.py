"""Upkeep: what falls due every so many days, whatever grows. The rules are data (upkeep.toml)."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Rule:
    """One thing that is cleaned every so many days."""

    every_days: int
    adults: bool
    source: str


@cache
def rules() -> Mapping[str, Rule]:
    """Every rule by the thing it is about, in the order they are listed."""
    data = tomllib.loads(Path(__file__).with_suffix(".toml").read_text("utf-8"))
    return {thing: Rule(**row) for thing, row in data.items()}


def due(last: Mapping[str, date], day: date, since: date) -> list[str]:
    """The things due on a day.

    Args:
        last: thing -> the day it was last seen to.
        day: the day asked about.
        since: the day the books begin; what was never seen to counts from then.
    """
    return [thing for thing, rule in rules().items() if last.get(thing, since) + timedelta(days=rule.every_days) <= day]
