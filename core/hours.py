"""Hours given to the farm: what counts, what they are worth, and stays whose end was forgotten. Pure."""

from __future__ import annotations

import tomllib
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cache
from pathlib import Path
from typing import Any


@dataclass(frozen=True, slots=True)
class Worked:
    """Minutes of one person on one farm-local day. `source`: "said" or "visit" (from arriving to leaving).

    approved: whether a lead has approved them; what follows from arriving and leaving needs no approval.
    """

    person_id: int
    on: date
    minutes: float
    source: str
    approved: bool = False

    @property
    def waits(self) -> bool:
        """Whether a lead has still to look at it."""
        return self.source == "said" and not self.approved


@dataclass(frozen=True, slots=True)
class WorkDay:
    """What counts for one person on one day. `waits`: it rests on what was said, and no lead has approved it."""

    on: date
    minutes: float
    waits: bool


@dataclass(frozen=True, slots=True)
class Worth:
    """What hours are worth: an amount in a currency at `rate` an hour, the published figure of `year`."""

    amount: float
    currency: str
    rate: float
    year: int
    source: str


@dataclass(frozen=True, slots=True)
class Leaving:
    """When a forgotten leaving is asked about, and the longest stay that is believed. [min]"""

    asked_after_min: int
    asked_until: time
    longest_min: int


def counted(rows: Iterable[Worked]) -> dict[int, list[WorkDay]]:
    """Each person's days, the first first.

    What somebody says they worked on a day stands for that day; else the time from arriving to leaving does.
    """
    by_day: dict[tuple[int, date], list[Worked]] = defaultdict(list)
    for row in rows:
        by_day[row.person_id, row.on].append(row)
    people: dict[int, list[WorkDay]] = defaultdict(list)
    for (person_id, on), found in sorted(by_day.items()):
        standing = [row for row in found if row.source == "said"] or found
        minutes = sum(row.minutes for row in standing)
        people[person_id].append(WorkDay(on, minutes, any(row.waits for row in standing)))
    return dict(people)


def by_month(days: Sequence[WorkDay]) -> dict[date, float]:
    """Minutes by month, each month by its first day."""
    months: dict[date, float] = defaultdict(float)
    for day in days:
        months[day.on.replace(day=1)] += day.minutes
    return dict(months)


def worth(minutes: float, year: int) -> Worth | None:
    """What minutes given in a year are worth by the published figure of that year, else of the last one before it.

    Returns:
        None for a year before the first published figure.

    Source:
        Each year's row of hours.toml.
    """
    published = {int(key): row for key, row in _data()["value"]["years"].items()}
    known = [one for one in published if one <= year]
    if not known:
        return None
    row = published[max(known)]
    amount = round(minutes / 60 * row["value"], 2)
    return Worth(amount, _data()["value"]["currency"], row["value"], max(known), row["source"])


def leaving() -> Leaving:
    """The rule for forgotten leavings."""
    row = _data()["leaving"]
    return Leaving(int(row["asked_after_min"]), time.fromisoformat(str(row["asked_until"])), int(row["longest_min"]))


def ask_about_leaving(arrived: datetime, shift_ends: datetime | None, closes: datetime) -> datetime:
    """When somebody who has not said that they left is asked: a while after their shift, or after the farm closed.

    Args:
        arrived: when they came.
        shift_ends: when the shift they came for is over; None where they came for none.
        closes: when the farm closes that day.
    """
    over = shift_ends if shift_ends is not None and shift_ends > arrived else closes
    return max(over, arrived) + timedelta(minutes=leaving().asked_after_min)


@cache
def _data() -> dict[str, Any]:
    return tomllib.loads(Path(__file__).with_suffix(".toml").read_text("utf-8"))
