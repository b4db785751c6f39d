"""The number to call when somebody is hurt: the farm's own, else that of the country its clock is in. Pure."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from importlib import resources


def emergency_number(zone: str, own: str) -> str | None:
    """The farm's `own` number where it has set one, else that of the country of its time zone; None: nobody knows.

    Args:
        zone: the farm's time zone ("America/Chicago").
        own: what the farm set, "" for nothing.
    """
    return own or _numbers().get(_countries().get(zone, ""))


@lru_cache
def _numbers() -> dict[str, str]:
    data = tomllib.loads(resources.files(__package__).joinpath("emergency.toml").read_text(encoding="utf-8"))
    numbers: dict[str, str] = data["numbers"]
    return numbers


@lru_cache
def _countries() -> dict[str, str]:
    """Time zone -> country, by the table zone.tab of the IANA time zone database."""
    table = resources.files("tzdata").joinpath("zoneinfo", "zone.tab").read_text(encoding="utf-8")
    rows = (line.split("\t") for line in table.splitlines() if line and not line.startswith("#"))
    return {row[2]: row[0] for row in rows}
