"""Shifts made from the work there is: those of the weekly patterns with more people where the work needs them, and one
of its own on a day with work and no pattern. Pure.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from math import ceil
from zoneinfo import ZoneInfo

from core.shifts.ahead import DayWork
from core.shifts.habits import habits
from core.sizing import sizes
from core.tasks import Work


@dataclass(frozen=True, slots=True)
class Slot:
    """A shift as the work shapes it. Times are farm-local.

    id: of the shift in the books; None while it is not there. needed: people. minutes: of work, for one person. [min]
    skills: how many with each. adults: whether all of it is work for adults alone.
    """

    starts_at: datetime
    ends_at: datetime
    needed: int
    id: str | None = None
    minutes: int = 0
    skills: tuple[str, ...] = ()
    adults: bool = False

    @property
    def carries(self) -> float:
        """Minutes of work it has people for. [min]"""
        length = (self.ends_at - self.starts_at) / timedelta(minutes=1)
        return float(self.needed * length * habits()["shifts"]["at_work"])


@dataclass(frozen=True, slots=True)
class Hours:
    """When the farm is open, and when its shifts usually begin."""

    opens: time
    closes: time
    usual: time
    zone: ZoneInfo


def is_worth_a_shift(work: DayWork) -> bool:
    """Whether a day's work is enough for people to come for."""
    return bool(work.minutes >= habits()["shifts"]["worth_min"])


def shaped(work: DayWork, slots: Sequence[Slot], hours: Hours, kept: Collection[str]) -> list[Slot]:
    """The shifts of a day, shaped by its work.

    Args:
        work: of the day.
        slots: its shifts by the patterns, the first first; none where it has none.
        hours: of the farm.
        kept: the skills that the farm keeps record of; others are asked of nobody.
    """
    if not slots and not is_worth_a_shift(work):
        return []
    own = _enough(list(slots) or [_own_shift(work.day, hours)], work.minutes)
    together = sum(one.carries for one in own)
    skills = sorted({skill for one in work.works if (skill := _skill(one)) in kept and skill})
    return [
        replace(
            one,
            minutes=round(work.minutes * one.carries / together),
            skills=tuple(skills) if at == 0 else (),
            adults=bool(work.works) and all(each.adults for each in work.works),
        )
        for at, one in enumerate(own)
    ]


def _skill(work: Work) -> str | None:
    return sizes()[work.what].skill if work.what in sizes() else None


def _own_shift(day: date, hours: Hours) -> Slot:
    """A shift at the usual hour, within the hours of the farm."""
    length = timedelta(minutes=habits()["shifts"]["length_min"])
    closes = datetime.combine(day, hours.closes, hours.zone)
    start = min(datetime.combine(day, max(hours.usual, hours.opens), hours.zone), closes - length)
    start = max(start, datetime.combine(day, hours.opens, hours.zone))
    return Slot(start, min(start + length, closes), habits()["shifts"]["least_people"])


def _enough(slots: list[Slot], minutes: int) -> list[Slot]:
    """One person more at a time, first where there are fewest, until the work can be done or the room is full."""
    most = habits()["shifts"]["most_people"]
    while ceil(sum(one.carries for one in slots)) < minutes:
        smallest = min(range(len(slots)), key=lambda at: (slots[at].needed, at))
        if slots[smallest].needed >= most:
            break
        slots[smallest] = replace(slots[smallest], needed=slots[smallest].needed + 1)
    return slots
