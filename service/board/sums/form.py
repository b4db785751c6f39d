"""What a sum is made of: fields, what was filled into them, and what comes out. No sentence is here."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from core.dosing.working import Step, Working
from core.outcome import Fact, fact
from service.board.view import View

Filled = Mapping[str, str]
"""What stands in the fields, by their names."""


@dataclass(frozen=True, slots=True)
class Field:
    """One field: its `name` is that of its label; `low` and `high` bound a number, `choices` are there instead of one.

    An `optional` field may be left empty. A unit is a symbol, the same in every language.
    """

    name: str
    unit: str = ""
    low: float = 0.0
    high: float = math.inf
    choices: tuple[str, ...] = ()
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Weighed:
    """A table of what to weigh: of each material so many grams, and what it is for."""

    part: str
    grams: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Result:
    """What a sum comes to: `said` first, then cautions, tables of weights, an analysis in ppm, and the steps."""

    said: tuple[Fact, ...]
    steps: Working = ()
    cautions: tuple[Fact, ...] = ()
    weighed: tuple[Weighed, ...] = ()
    ppm: Mapping[str, float] = field(default_factory=dict)
    source: str = ""


Worked = Callable[["Figures", View], Result]


@dataclass(frozen=True, slots=True)
class Sum:
    """One sum. `adults`: names an acid or a concentrate, so that it is for who is of age. `known`: what the farm's
    books put into its fields before anybody does.
    """

    name: str
    fields: Sequence[Field]
    work: Worked
    known: Callable[[View], Filled]
    adults: bool = False


@dataclass(frozen=True)
class Figures:
    """What was filled in, read: numbers and choices."""

    numbers: Mapping[str, float]
    choices: Mapping[str, str]

    def __getitem__(self, name: str) -> float:
        """The number in a field."""
        return self.numbers[name]

    def given(self, name: str) -> float | None:
        """The number in a field that may be left empty."""
        return self.numbers.get(name)


def read(asked: Sum, filled: Filled) -> tuple[Figures, dict[str, Fact]]:
    """The figures of a form, and what is wrong with which field."""
    numbers: dict[str, float] = {}
    choices: dict[str, str] = {}
    faults: dict[str, Fact] = {}
    for one in asked.fields:
        said = filled.get(one.name, "").strip()
        if one.choices:
            choices[one.name] = said if said in one.choices else one.choices[0]
        elif said or not one.optional:
            value = number(said)
            fault = _fault(one, value)
            if fault is not None:
                faults[one.name] = fault
            elif value is not None:
                numbers[one.name] = value
    return Figures(numbers, choices), faults


def number(said: str) -> float | None:
    """A number as people write it, with a decimal point or comma."""
    try:
        value = float(said.replace(",", ".") if said.count(",") == 1 and "." not in said else said.replace(",", ""))
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _fault(one: Field, value: float | None) -> Fact | None:
    if value is None:
        return fact("fault_number")
    if one.low <= value <= one.high:
        return None
    return fact("fault_least", low=one.low) if math.isinf(one.high) else fact("fault_span", low=one.low, high=one.high)


def step(what: str, formula: str, numbers: Mapping[str, float], result: float, unit: str, source: str = "") -> Step:
    """A step of a working, written short."""
    return Step(what, formula, numbers, result, unit, source)
