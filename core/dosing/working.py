"""A result with the steps that led to it, so that a page or a person can follow and check each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Step:
    """One line of a working: what is reckoned, by which formula, from which numbers, and what comes out.

    `what` is a plain English heading; `formula` is written with the names in `numbers`; `unit` is the result's.
    """

    what: str
    formula: str
    numbers: Mapping[str, float]
    result: float
    unit: str
    source: str = ""


Working = tuple[Step, ...]
