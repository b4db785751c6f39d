"""What is asked of the sowing plan. Nothing is recorded."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from core.notes.note import Note

CHANGES = ("out", "lost", "closed", "times", "new")


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf(Note):
    """What would come of a change, one of CHANGES; None where the question was understood and the change was not.

    out, lost: of `places` or a whole `row`, lost also of a `crop`; from `first` to `last`, for good where it is absent.
    closed: from `first` to `last`. times: the targets, of a `crop` or all, so many `times`. new: a crop that is named
    somewhere in `name`, `count` heads or bunches a week.
    """

    act: ClassVar[str] = "what_if"
    change: str | None = None
    crop: str | None = None
    name: str | None = None
    places: tuple[str, ...] = ()
    row: str | None = None
    times: float | None = None
    count: float | None = None
    first: date | None = None
    last: date | None = None
