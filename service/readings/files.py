"""Readings in a table of comma or semicolon separated values, one a line, every fault with its line.

The first line names the columns: measured_at, measure, value, and if wanted unit and where, in any order. A time is ISO
8601, the farm's own where it names no zone; a decimal comma is read where columns are parted by semicolons.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from core.readings.admission import Raw

NEEDED = ("measured_at", "measure", "value")
OPTIONAL = ("unit", "where")
MOST_LINES = 200_000


@dataclass(frozen=True, slots=True)
class Table:
    """A file as read: its readings, the line that each is from, and its faults as (line, reason)."""

    readings: tuple[Raw, ...]
    lines: tuple[int, ...]
    faults: tuple[tuple[int, str], ...]


def read_table(text: str, zone: ZoneInfo) -> Table:
    """The readings in a file's text; what cannot be read is among the faults, and never raises."""
    rows = csv.reader(text.lstrip("\ufeff").splitlines(), delimiter=_delimiter(text))
    head = [name.strip().casefold() for name in next(rows, [])]
    missing = [name for name in NEEDED if name not in head]
    if missing:
        columns = ", ".join((*NEEDED, *OPTIONAL))
        return Table((), (), ((1, f"no column {', '.join(missing)}; the first line names the columns: {columns}"),))
    readings: list[Raw] = []
    lines: list[int] = []
    faults: list[tuple[int, str]] = []
    for line, found in _lines(rows, head, zone):
        if isinstance(found, Raw):
            readings.append(found)
            lines.append(line)
        else:
            faults.append((line, found))
    return Table(tuple(readings), tuple(lines), tuple(faults))


def _delimiter(text: str) -> str:
    first = text.split("\n", 1)[0]
    return ";" if first.count(";") > first.count(",") else ","


def _lines(rows: Iterator[list[str]], head: list[str], zone: ZoneInfo) -> Iterator[tuple[int, Raw | str]]:
    """Each line's number with its reading or what is wrong with it; empty lines are passed over."""
    for line, cells in enumerate(rows, start=2):
        if line > MOST_LINES:
            yield line, f"more than {MOST_LINES} lines: split the file"
            return
        if not any(cell.strip() for cell in cells):
            continue
        if len(cells) != len(head):
            yield line, f"{len(cells)} values for {len(head)} columns"
            continue
        yield line, _reading(dict(zip(head, (cell.strip() for cell in cells), strict=True)), zone)


def _reading(row: dict[str, str], zone: ZoneInfo) -> Raw | str:
    try:
        at = datetime.fromisoformat(row["measured_at"])
    except ValueError:
        return f"measured_at {row['measured_at']!r} is no time; write it like 2026-05-02T09:10"
    value = _number(row["value"])
    if value is None:
        return f"value {row['value']!r} is no number"
    at = at if at.tzinfo else at.replace(tzinfo=zone)
    return Raw(row["measure"].casefold(), value, row.get("unit", ""), row.get("where", "").casefold(), at)


def _number(cell: str) -> float | None:
    try:
        value = float(cell.replace(",", "."))
    except ValueError:
        return None
    return value if math.isfinite(value) else None
