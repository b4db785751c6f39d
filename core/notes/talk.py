"""What is said about the books themselves: corrections, questions, and what a coordinator decides."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from core.notes.note import Note

QUESTIONS = (
    *(
        "tasks",
        "more",
        "shift",
        "roster",
        "reading",
        "harvest",
        "given",
        "place",
        "ready",
        "stock",
        "hours",
        "plan",
        "help",
    ),
    *("graph", "trouble", "forecast", "calibration", "trend", "range"),
    *("crew", "able", "trained"),
)
PERIODS = ("today", "tomorrow", "week", "next_week", "last_week", "month", "season")


@dataclass(frozen=True, slots=True, kw_only=True)
class Correct(Note):
    """Takes back (`undo`) or mends the last record: each slot is the right value, `was` the old one if said."""

    act: ClassVar[str] = "correct"
    undo: bool | None = None
    count: float | None = None
    value: float | None = None
    crop: str | None = None
    places: tuple[str, ...] = ()
    weight_g: float | None = None
    was: str | float | tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask(Note):
    """A question: `about` is one of QUESTIONS; `period` one of PERIODS."""

    act: ClassVar[str] = "ask"
    about: str | None = None
    crop: str | None = None
    place: str | None = None
    item: str | None = None
    measure: str | None = None
    where: str | None = None
    period: str | None = None
    date: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Announce(Note):
    """The coordinator tells people: `words` to "all" or to those on a shift."""

    act: ClassVar[str] = "announce"
    words: str | None = None
    to: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Target(Note):
    """The coordinator aims for `count` of a crop `per` week."""

    act: ClassVar[str] = "target"
    crop: str | None = None
    count: float | None = None
    per: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AddPerson(Note):
    """The coordinator adds someone; `phone` is E.164."""

    act: ClassVar[str] = "person"
    name: str | None = None
    phone: str | None = None
    role: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed(Note):
    """The farm is closed that day."""

    act: ClassVar[str] = "closed"
    date: date | None = None
