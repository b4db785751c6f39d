"""The words one farm uses: its crops, places, tanks, recipients, supplies, people and hours, as one frozen value.

Understanding reads with it, acts check with it, words speak with it. It holds no state of the farm.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
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
    row_kinds: Mapping[str, str] = field(default_factory=dict)
    row_sites: Mapping[str, int] = field(default_factory=dict)
    growable: Mapping[str, str] = field(default_factory=dict)
    """The names of all crops there are profiles of -> which, whether the farm grows them or not."""

    @cached_property
    def zone(self) -> ZoneInfo:
        """The farm's time zone."""
        return ZoneInfo(self.timezone)

    def is_tower(self, code: str) -> bool:
        """Whether the code is a place of this farm in which plants grow to the cut: a tower, raft, channel or bed."""
        match = PLACE_CODE.fullmatch(code)
        return bool(match) and 1 <= int(match[2]) <= self.tower_rows.get(match[1], 0)  # type: ignore[index]

    def kind(self, code: str) -> str:
        """What is built there: "tower", "raft", "channel", "bed", "shelf" or "cover"."""
        match = PLACE_CODE.fullmatch(code)
        if match and match[1] in self.tower_rows:
            return self.row_kinds.get(match[1], "tower")
        return "cover" if code == self.cover else "shelf" if code in self.shelves else code

    def sites(self, codes: Iterable[str]) -> int:
        """How many plants those of the places have room for in which plants grow to the cut."""
        rows = [match[1] for code in codes if self.is_tower(code) and (match := PLACE_CODE.fullmatch(code))]
        return sum(self.row_sites.get(row, self.sites_per_tower) for row in rows)

    def is_place(self, code: str) -> bool:
        """Whether plants can stand there: a tower, a shelf, the cover, or one of the two collective names."""
        return self.is_tower(code) or code in self.shelves or code in (self.cover, "towers", "shelves")
