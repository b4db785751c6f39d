"""What is said of people themselves: trainings, pauses, roles, leaving, and when they are reminded and asked."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from core.notes.note import Note


@dataclass(frozen=True, slots=True, kw_only=True)
class Trained(Note):
    """A lead signs somebody (`who`, a handle) off for a `skill` of core/people.toml, or takes that back (`gone`)."""

    act: ClassVar[str] = "trained"
    who: str | None = None
    skill: str | None = None
    gone: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Pause(Note):
    """Wants no shifts before the day `until`, or until they say so; `over` ends it."""

    act: ClassVar[str] = "pause"
    until: date | None = None
    over: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaveCrew(Note):
    """Leaves the crew."""

    act: ClassVar[str] = "leave_crew"


@dataclass(frozen=True, slots=True, kw_only=True)
class RemovePerson(Note):
    """The coordinator takes somebody (`who`, a handle) off the crew."""

    act: ClassVar[str] = "remove"
    who: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GiveRole(Note):
    """The coordinator gives somebody (`who`, a handle) a role."""

    act: ClassVar[str] = "give_role"
    who: str | None = None
    role: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherNumber(Note):
    """The coordinator tells of a further number (E.164) somebody (`who`, a handle) texts from."""

    act: ClassVar[str] = "number"
    who: str | None = None
    phone: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reminding(Note):
    """How the sender wants to be reminded: `minutes` before a shift, on the `eve` of it, and asked `weekly`."""

    act: ClassVar[str] = "reminding"
    minutes: float | None = None
    eve: bool | None = None
    weekly: bool | None = None
