"""A measure over time as a figure: its points, the range wanted, alarms shaded, calibrations marked."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from markupsafe import Markup

from core.calendar import local_day
from core.readings.curve import Curve
from service.board.drawn import ACCENT, BAND, INK
from service.board.plots import Drawing

if TYPE_CHECKING:
    from matplotlib.axes import Axes

HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Words:
    """What stands in the figure. `days`: each day with its name, along the bottom."""

    title: str
    description: str
    unit: str
    read: str
    wanted: str
    alarm: str
    calibrated: str
    days: tuple[tuple[date, str], ...]


@dataclass(frozen=True, slots=True)
class Scale:
    """How a value is shown: shown = value x factor + shift."""

    factor: float = 1.0
    shift: float = 0.0

    def shown(self, value: float) -> float:
        """A value as people read it here."""
        return value * self.factor + self.shift


CELSIUS, FAHRENHEIT = Scale(), Scale(1.8, 32.0)


def days_of(curve: Curve, zone: ZoneInfo) -> list[date]:
    """The farm-local days of a curve, the first first."""
    first, last = local_day(curve.since, zone), local_day(curve.until - timedelta(microseconds=1), zone)
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]


@lru_cache(maxsize=128)
def svg(curve: Curve, words: Words, scale: Scale, zone: ZoneInfo) -> Markup:
    """The figure for a page, drawn once for the same readings."""
    return drawing(curve, words, scale, zone).svg()


def drawing(curve: Curve, words: Words, scale: Scale, zone: ZoneInfo) -> Drawing:
    """The figure, for a page or a text."""

    def at(moment: datetime) -> float:
        return (moment - curve.since) / HOUR

    def draw(axes: Axes) -> None:
        _range(axes, curve, words, scale)
        for number, (start, end) in enumerate(curve.alarms):
            label = words.alarm if number == 0 else None
            axes.axvspan(at(start), at(end), facecolor="none", edgecolor=ACCENT, hatch="///", linewidth=0, label=label)
        for number, moment in enumerate(curve.calibrations):
            label = words.calibrated if number == 0 else None
            axes.axvline(at(moment), color=INK, linewidth=2, linestyle=(0, (1, 2)), label=label)
        times, values = [at(one) for one, _ in curve.points], [scale.shown(value) for _, value in curve.points]
        axes.plot(times, values, color=ACCENT, linewidth=2, marker="o", markersize=5, label=words.read)
        axes.set_xlim(0, at(curve.until))
        axes.margins(y=0.15)

    middays = [(at(datetime.combine(day, datetime.min.time(), zone)) + 12, name) for day, name in words.days]
    return Drawing(words.title, words.description, draw, middays, words.unit)


def _range(axes: Axes, curve: Curve, words: Words, scale: Scale) -> None:
    """The range as a band with dashed edges; an open side goes on to the edge of the figure."""
    shown = [scale.shown(value) for _, value in curve.points]
    ends = [scale.shown(one) for one in (curve.wanted.low, curve.wanted.high) if abs(one) != float("inf")]
    low, high = scale.shown(curve.wanted.low), scale.shown(curve.wanted.high)
    bottom = low if low in ends else min([*shown, *ends])
    top = high if high in ends else max([*shown, *ends])
    axes.axhspan(bottom, top, color=BAND, linewidth=0, label=words.wanted)
    for edge in ends:
        axes.axhline(edge, color=INK, linewidth=1, linestyle=(0, (4, 3)))
