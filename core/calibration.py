"""Probes calibrated: the values of the standards by temperature, slope and offset, their judgement, and the steps.

A pH pen may be read in mV, which gives the electrode's own slope and offset, or in pH, which gives them against the
calibration that was in force: then they tell how far the probe has drifted since. The data are in calibration.toml.
"""

from __future__ import annotations

import math
import tomllib
from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import lru_cache
from importlib import resources
from typing import Any, Literal

from core.errors import NotListed, OutOfRange

Verdict = Literal["good", "fair", "bad"]

GAS_CONSTANT = 8.314462618
"""J/(mol K), exact. CODATA 2018."""
FARADAY = 96485.33212
"""C/mol, exact to these figures. CODATA 2018."""

HIGHEST_PH = 14.0
"""A figure above this, or below 0, can be no pH."""

FARTHEST_PH, FARTHEST_MV = 2.0, 80.0
"""A probe that is farther off than this stands in another liquid, or is broken. Common practice, no source."""


class MixedFigures(OutOfRange):
    """Of one pen one figure was typed in pH and one in mV."""


@dataclass(frozen=True, slots=True)
class Standard:
    """A buffer or conductivity standard: its value by temperature. [degC -> pH or uS/cm]"""

    name: str
    unit: str
    values: Mapping[float, float]
    source: str

    def at(self, temp_c: float) -> float:
        """Its value at a temperature, between two rows of the table by a straight line.

        Raises:
            OutOfRange: the table does not reach that temperature.
        """
        temps = sorted(self.values)
        if not temps[0] <= temp_c <= temps[-1]:
            raise OutOfRange(f"{self.name} at {temp_c:g} degC", f"bring it to {temps[0]:g}-{temps[-1]:g} degC")
        above = min(bisect_right(temps, temp_c), len(temps) - 1)
        low, high = temps[above - 1], temps[above]
        return self.values[low] + (self.values[high] - self.values[low]) * (temp_c - low) / (high - low)


@dataclass(frozen=True, slots=True)
class Probe:
    """A kind of probe: days between calibrations, the standards in order, and the steps."""

    measure: str
    every_days: int
    standards: tuple[str, ...]
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Result:
    """What a calibration found: slope against theory, offset at pH 7 (None for EC), and whether the probe is good."""

    slope_pct: float
    offset_mv: float | None
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Run:
    """A calibration under way: how many steps are done, and what the probe showed, each with its standard's value.

    `millivolts` is whether a pH pen is read in mV; None before it showed anything.
    """

    measure: str
    done: int = 0
    shown: tuple[float, ...] = ()
    standards: tuple[float, ...] = ()
    millivolts: bool | None = None

    @property
    def step(self) -> str | None:
        """The step that is next ("rinse", "show", "set_rinse"); None when all are done."""
        steps = probe(self.measure).steps
        return steps[self.done] if self.done < len(steps) else None

    @property
    def standard(self) -> Standard:
        """The standard that the next figure is of."""
        names = probe(self.measure).standards
        return standard(names[min(len(self.shown), len(names) - 1)])

    def go_on(self) -> Run:
        """The run after a step without a figure."""
        return replace(self, done=self.done + 1)

    def show(self, value: float, temp_c: float, *, millivolts: bool = False) -> Run:
        """The run after the probe showed a figure in its standard at a temperature.

        Args:
            value: in uS/cm for EC; for pH in pH, or in mV where it can be no pH or `millivolts` says so.
            temp_c: of the standard. [degC]
            millivolts: whether mV was said.

        Raises:
            MixedFigures: one figure is pH, the other mV.
            OutOfRange: the probe cannot have shown that in this standard, or the standard's table ends before.
        """
        true = self.standard.at(temp_c)
        millivolts = self.measure == "ph" and (millivolts or not 0 <= value <= HIGHEST_PH)
        if self.millivolts not in (None, millivolts):
            raise MixedFigures(f"{value:g} after {self.shown[-1]:g}", "type both figures as pH, or both as mV")
        _check_shown(self.measure, value, true, millivolts)
        return replace(
            self,
            done=self.done + 1,
            shown=(*self.shown, value),
            standards=(*self.standards, true),
            millivolts=millivolts,
        )


def _check_shown(measure: str, value: float, true: float, millivolts: bool) -> None:
    """Refuse what no probe shows in a standard."""
    if measure == "ec":
        fits = 0.5 * true <= value <= 1.5 * true
    elif millivolts:
        fits = abs(value - (7 - true) * nernst_mv(25)) <= FARTHEST_MV
    else:
        fits = abs(value - true) <= FARTHEST_PH
    if not fits:
        raise OutOfRange(f"{value:g} in {true:g}", "check that it is the right standard, fresh, and the probe clean")


@lru_cache
def _data() -> dict[str, Any]:
    text = resources.files(__package__).joinpath("calibration.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def probes() -> tuple[str, ...]:
    """The measures whose probes are calibrated."""
    return tuple(_data()["probe"])


@lru_cache
def probe(measure: str) -> Probe:
    """The probe of a measure.

    Raises:
        NotListed: that measure's probe is not calibrated here.
    """
    row = _data()["probe"].get(measure)
    if row is None:
        raise NotListed("probe for", measure, list(probes()))
    return Probe(measure, row["every_days"], tuple(row["standards"]), tuple(row["steps"]))


@lru_cache
def standard(name: str) -> Standard:
    """A standard by its name.

    Raises:
        NotListed: there is none of that name.
    """
    row = _data()["standard"].get(name)
    if row is None:
        raise NotListed("standard", name, list(_data()["standard"]))
    return Standard(name, row["unit"], {float(temp): value for temp, value in row["values"].items()}, row["source"])


def nernst_mv(temp_c: float) -> float:
    """Millivolts that a perfect pH electrode changes by for one pH. [mV]

    Source:
        Nernst: R T ln 10 / F. 59.16 mV at 25 degC.
    """
    return 1000 * GAS_CONSTANT * (temp_c + 273.15) * math.log(10) / FARADAY


def result_of(run: Run, temp_c: float = 25.0) -> Result:
    """Slope and offset of a finished run, judged.

    Args:
        run: a figure for every standard.
        temp_c: of the standards; the slope of theory goes by it. [degC]

    Raises:
        OutOfRange: a figure is missing.

    Source:
        Electrode maker's note on offset and slope: slope = difference of mV / (difference of pH x theory); offset = mV
        in buffer 7.
    """
    if len(run.shown) != len(probe(run.measure).standards):
        raise OutOfRange("the calibration", "it is not finished")
    if run.measure == "ec":
        slope = 100 * run.shown[0] / run.standards[0]
        return Result(slope, None, judge("ec", slope, None))
    slope, offset = _of_ph(run, temp_c)
    return Result(slope, offset, judge("ph", slope, offset))


def _of_ph(run: Run, temp_c: float) -> tuple[float, float]:
    """Slope in percent and offset in mV of a pH pen, from figures in mV or in pH."""
    seven, four = run.shown
    apart = run.standards[0] - run.standards[1]
    if run.millivolts:
        return 100 * (four - seven) / (apart * nernst_mv(temp_c)), seven
    return 100 * (seven - four) / apart, (run.standards[0] - seven) * nernst_mv(temp_c)


def judge(measure: str, slope_pct: float, offset_mv: float | None) -> Verdict:
    """Whether a probe is good, fair (clean it, calibrate sooner) or bad (clean or change it; do not trust it)."""
    limits = _data()["judged"][measure]
    if not _within(slope_pct, limits["slope_pct"]) or not _within(offset_mv, limits.get("offset_mv")):
        return "bad"
    return "good" if _within(slope_pct, limits["slope_good_pct"]) else "fair"


def _within(value: float | None, band: list[float] | None) -> bool:
    """Whether a value lies in a band; a rounding's breadth over it still does."""
    return value is None or band is None or band[0] - 1e-9 <= value <= band[1] + 1e-9


def is_due(measure: str, last: datetime | None, now: datetime) -> bool:
    """Whether a probe's calibration is due: never done, or so many days ago as calibration.toml says."""
    if measure not in probes():
        return False
    return last is None or now - last >= timedelta(days=probe(measure).every_days)


def overdue_days(measure: str, last: datetime, now: datetime) -> int:
    """Whole days by which a calibration is late; 0 or less while it is not."""
    return (now - last).days - probe(measure).every_days


def drift(before: Result, after: Result, days: float) -> tuple[float, float | None]:
    """How slope and offset moved between two calibrations, a week. [% a week, mV a week]

    Raises:
        OutOfRange: the two are not apart in time.
    """
    if days <= 0:
        raise OutOfRange("two calibrations at one time", "take two that are days apart")
    weeks = days / 7
    mv = None
    if before.offset_mv is not None and after.offset_mv is not None:
        mv = (after.offset_mv - before.offset_mv) / weeks
    return (after.slope_pct - before.slope_pct) / weeks, mv
