"""A note, and the stretches of time that some carry."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time
from typing import Any, ClassVar, Literal

Record = dict[str, Any]
"""A note as plain JSON values."""

Day = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
DAYS: tuple[Day, ...] = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


@dataclass(frozen=True, slots=True)
class Window:
    """One stretch of farm-local time on one day."""

    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True)
class WeeklyWindow:
    """The same stretch every week."""

    day: Day
    start: time
    end: time


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Something one person reports, asks or wants. `act` names its kind, in the record and in the table of acts."""

    act: ClassVar[str]
