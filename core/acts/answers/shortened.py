"""Long lists cut short, so that an answer fits one text: so many are named, and how many more there are is said."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

Thing = TypeVar("Thing")


def shortened(things: Sequence[Thing], most: int) -> tuple[tuple[Thing, ...], int | None]:
    """The first of the things, and how many were left out; None where none was."""
    return tuple(things[:most]), (len(things) - most if len(things) > most else None)
