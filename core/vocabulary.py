"""The words one farm uses: its crops, places, tanks, recipients, supplies, people and hours, as one frozen value.

Understanding reads with it, acts check with it, words speak with it. It holds no state of the farm.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import time
from functools import cached_property
from zoneinfo import ZoneInfo

Names = Mapping[str, tuple[str, ...]]
"""Language code -> the ways people write it, the first one being how the farm itself says it."""

PLACE_CODE = re.compile(r"([A-Z]+)(\d+)")


@dataclass(frozen=True)
class CropWords:
    """A crop as people speak of it. `kind`: "whole head", "cut and regrow" or "cut once"."""

    slug: str
    kind: str
    names: Names
    plurals: Mapping[str, str] = field(default_factory=dict)

    @property
    def unit(self) -> str:
        """What it is counted in: heads or bunches."""
        return "heads" if self.kind == "whole head" else "bunches"


@dataclass(frozen=True)
class Vocabulary:
    """Everything understanding may take for granted about one farm."""

    farm: str
    timezone: str
    temperature_unit: str
    weight_unit: str
    languages: tuple[str, ...]
    opens: time
    closes: time
    day_parts: Mapping[str, tuple[time, time]]
    crops: Mapping[str, CropWords]
    tower_rows: Mapping[str, int]
    sites_per_tower: int
    shelves: tuple[str, ...]
    tray_cells: int
    tanks: Mapping[str, Names]
    recipients: Mapping[str, Names]
    supplies: Mapping[str, Names]
    people: Mapping[str, str]
    cover: str = "dome"

    @cached_property
    def zone(self) -> ZoneInfo:
        """The farm's time zone."""
        return ZoneInfo(self.timezone)

    def is_tower(self, code: str) -> bool:
        """Whether the code is a tower that exists on this farm."""
        match = PLACE_CODE.fullmatch(code)
        return bool(match) and 1 <= int(match[2]) <= self.tower_rows.get(match[1], 0)  # type: ignore[index]

    def is_place(self, code: str) -> bool:
        """Whether plants can stand there: a tower, a shelf, the cover, or one of the two collective names."""
        return self.is_tower(code) or code in self.shelves or code in (self.cover, "towers", "shelves")
