"""Places of any layout: what kinds there are, which part of a plant's life belongs to each, and how codes run.

A farm names its own rows: A1-A24 may be towers, N1-N6 channels, R1-R4 rafts, BED1-BED2 beds. The rules know two kinds
of place beside the cover: where seedlings wait (shelves, trays) and where plants grow to the cut (all the others).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Literal

from core.vocabulary import PLACE_CODE

Life = Literal["cover", "shelf", "tower"]
"""The part of a plant's life it spends in a place; where it grows to the cut is "tower", whatever is built there."""

GROWING = ("tower", "channel", "raft", "bed")
"""Kinds of place in which plants grow to the cut."""

LIVES: dict[str, Life] = {
    "cover": "cover",
    "shelf": "shelf",
    "tray": "shelf",
    "shelves": "shelf",
    "towers": "tower",
    **dict.fromkeys(GROWING, "tower"),
}
"""Kind of place -> its part of a plant's life. The last two of the named ones are of plants nobody gave a code for."""

READY, TO_CLEAN, OUT = "ready", "to clean", "out"
"""The states of a place; whether it is planted is whether plants stand in it."""


def codes(row: str, count: int) -> list[str]:
    """The codes of a row: A1 to A24."""
    return [f"{row}{number}" for number in range(1, count + 1)]


def between(first: str, last: str) -> list[str]:
    """The codes from one to another of the same row, both included; the two alone where they are of different rows."""
    start, end = PLACE_CODE.fullmatch(first), PLACE_CODE.fullmatch(last)
    if not (start and end) or start[1] != end[1]:
        return [first, last]
    return [f"{start[1]}{number}" for number in range(int(start[2]), int(end[2]) + 1)]


def place_order(code: str) -> tuple[str, int]:
    """Places in the order one walks by them: A2 before A10."""
    match = PLACE_CODE.fullmatch(code)
    return (match[1], int(match[2])) if match else (code, 0)


def in_runs(walk: Iterable[str]) -> Iterator[list[str]]:
    """Codes in walking order, neighbours drawn together."""
    run: list[str] = []
    for code in sorted(set(walk), key=place_order):
        if run and place_order(code) != (place_order(run[-1])[0], place_order(run[-1])[1] + 1):
            yield run
            run = []
        run.append(code)
    if run:
        yield run
