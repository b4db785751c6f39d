"""What is said of the roster: that it is to be made, and what people wish of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from core.notes.note import Note


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeRoster(Note):
    """Make the roster of the week that holds `date`; of next week where no day was said."""

    act: ClassVar[str] = "roster"
    date: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RosterWish(Note):
    """Wishes to be on with some and not with others (handles), `most` shifts `per` "week" or "month", or at a part of
    the day; `none` drops all wishes.
    """

    act: ClassVar[str] = "wish"
    beside: tuple[str, ...] = ()
    apart: tuple[str, ...] = ()
    most: int | None = None
    per: str | None = None
    part: str | None = None
    none: bool | None = None
