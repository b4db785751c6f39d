"""What is said about a trouble after it was reported."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from core.notes.note import Note

STEPS = ("take", "still", "photo", "fixed")


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowUp(Note):
    """Somebody sees to trouble number `n` ("take"), says that it goes on, shows it ("photo"), or that it is over."""

    act: ClassVar[str] = "follow_up"
    step: str = "still"
    n: int | None = None
