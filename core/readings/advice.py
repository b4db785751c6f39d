"""What to do about a reading that is off: for whom it is, and the caution that goes with it (advice.toml). Pure."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources


@dataclass(frozen=True, slots=True)
class Advice:
    """`adults`: others fetch a lead instead. `caution`: the bottle named in it, None where none is."""

    adults: bool
    caution: str | None = None


@lru_cache
def advice() -> dict[tuple[str, str], Advice]:
    """The advice for each (measure, side) that can be off."""
    text = resources.files(__package__).joinpath("advice.toml").read_text(encoding="utf-8")
    table = tomllib.loads(text)
    return {(measure, side): Advice(**row) for measure, sides in table.items() for side, row in sides.items()}
