"""What is said of people and their work: when they can come, their shifts, hours and tasks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import ClassVar

from core.notes.note import Note, WeeklyWindow, Window

TASK_STATES = ("done", "started", "partial", "cannot", "take")


@dataclass(frozen=True, slots=True, kw_only=True)
class Free(Note):
    """Can come: in `windows`, or `weekly` (until and including `until`, or for good)."""

    act: ClassVar[str] = "free"
    windows: tuple[Window, ...] = ()
    weekly: tuple[WeeklyWindow, ...] = ()
    until: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Busy(Note):
    """Cannot come: the slots are those of Free."""

    act: ClassVar[str] = "busy"
    windows: tuple[Window, ...] = ()
    weekly: tuple[WeeklyWindow, ...] = ()
    until: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ShiftAnswer(Note):
    """About a shift the sender has: answer yes, no, late (by `minutes`) or swap."""

    act: ClassVar[str] = "shift"
    answer: str | None = None
    shift: str | None = None
    minutes: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrive(Note):
    """Checks in; `at` only when a time was said."""

    act: ClassVar[str] = "arrive"
    at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Leave(Note):
    """Checks out; `at` only when a time was said."""

    act: ClassVar[str] = "leave"
    at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours(Note):
    """Time worked, reported; `date` only when a day was said."""

    act: ClassVar[str] = "hours"
    minutes: float | None = None
    date: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ApproveHours(Note):
    """A lead approves the hours that somebody reported; everybody's where `who` (a handle) is None."""

    act: ClassVar[str] = "approve"
    who: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskReport(Note):
    """About the numbered list last sent: `state` is one of TASK_STATES, for task `n` or for `all`.

    `count` is how much of it was done, `minutes` how long it took.
    """

    act: ClassVar[str] = "task"
    state: str | None = None
    n: int | None = None
    all: bool | None = None
    count: float | None = None
    minutes: float | None = None
