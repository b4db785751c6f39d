"""What is said about alarms and about the ranges that a farm wants."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from core.notes.note import Note


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeAlarm(Note):
    """Somebody sees to an alarm; `alarm` is the number of the entry that opened it."""

    act: ClassVar[str] = "take_alarm"
    alarm: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class QuietAlarm(Note):
    """Nobody else is to be told of an alarm for so many hours."""

    act: ClassVar[str] = "quiet_alarm"
    alarm: int | None = None
    hours: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SetRange(Note):
    """The range the farm wants of a measure, in its unit, in a tank or "room"; `usual`: that of its crops again."""

    act: ClassVar[str] = "set_range"
    measure: str | None = None
    where: str | None = None
    low: float | None = None
    high: float | None = None
    usual: bool | None = None
