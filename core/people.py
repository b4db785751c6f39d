"""Trainings and how long they hold, when people are asked when they can come, and when they are reminded. Pure."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from datetime import date, time, timedelta
from functools import cache
from pathlib import Path
from typing import Any

from core.calendar import week, weekday
from core.notes import Day

MONTHS = 12


@dataclass(frozen=True, slots=True)
class Skill:
    """Something people are trained in. months: how long a sign-off holds, None for ever. adults: never for a minor."""

    name: str
    months: int | None
    adults: bool


@dataclass(frozen=True, slots=True)
class Weekly:
    """The day and hours in which people are asked when they can come next week."""

    day: Day
    start: time
    end: time


@cache
def _data() -> dict[str, Any]:
    return tomllib.loads(Path(__file__).with_suffix(".toml").read_text("utf-8"))


@cache
def skills() -> dict[str, Skill]:
    """Every training a farm keeps record of, by name."""
    return {name: Skill(name, row.get("months"), row["adults"]) for name, row in _data()["skills"].items()}


def holds_until(skill: str, signed_on: date) -> date | None:
    """The first day on which a sign-off no longer holds; None where it always does.

    A day that the month has not is the last one it has: signed off on 29 February, it ends on 28 February.

    Raises:
        KeyError: there is no such training.
    """
    months = skills()[skill].months
    if months is None:
        return None
    years, month = divmod(signed_on.month - 1 + months, MONTHS)
    first = date(signed_on.year + years, month + 1, 1)
    last = (first + timedelta(days=31)).replace(day=1) - timedelta(days=1)
    return first.replace(day=min(signed_on.day, last.day))


@cache
def weekly() -> Weekly:
    """When people are asked about the coming week."""
    row = _data()["weekly"]
    return Weekly(row["day"], time.fromisoformat(row["from"]), time.fromisoformat(row["until"]))


def asked_about(day: date) -> tuple[date, date] | None:
    """The week people are asked about on a day, Monday to Sunday; None where it is not the day for it."""
    return week(day + timedelta(weeks=1)) if weekday(day) == weekly().day else None


def usual_reminder_min() -> int:
    """How long before a shift people are reminded who have not chosen. [min]"""
    return int(_data()["reminders"]["before_min"])


def reminder_may_be(minutes: float) -> bool:
    """Whether somebody may choose to be reminded so long before. [min]"""
    limits = _data()["reminders"]
    return bool(limits["least_min"] <= minutes <= limits["most_min"])


def is_paused(paused: bool, back_on: date | None, day: date) -> bool:
    """Whether somebody who asked for a pause wants no shifts on a day."""
    return paused and (back_on is None or day < back_on)


def first_name(name: str) -> str:
    """All that the crew is told of each other's names."""
    return name.split()[0] if name.split() else name
