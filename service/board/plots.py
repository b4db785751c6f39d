"""Figures: a line with its range, and bars against targets; the same figure as SVG for a page and as PNG for a text.

Drawn by matplotlib, which is loaded only when a figure is. The SVG keeps its text as text, is named and described for
who cannot see it, carries no style of its own (the page's policy forbids it) and takes its colours from
board.css; the PNG is the same on paper white. Shapes differ, not only colours. A table beside it says the same.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from service.board.drawn import ACCENT, BAND, INK, for_page

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDTH_IN, HEIGHT_IN = 9.0, 3.6
PNG_DPI = 120
"""1080 x 432 pixels: sharp on a phone, about 40 kB. Carriers take 500 kB without question (from memory)."""

LETTERS_PT = 15
MOST_LABELS = 8  # along the bottom; more are thinned out evenly

STYLE: dict[Any, Any] = {
    "svg.fonttype": "none",
    "font.family": ["DejaVu Sans"],
    "font.size": LETTERS_PT,
    "axes.facecolor": "none",
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "text.color": INK,
    "xtick.color": INK,
    "ytick.color": INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
}


@dataclass(frozen=True)
class Series:
    """Numbers along the labels, and what they are called in the figure."""

    name: str
    values: Sequence[float | None]


@dataclass(frozen=True)
class Drawing:
    """A figure to be drawn: what it shows, in words what can be seen in it, and where what stands below it."""

    title: str
    description: str
    draw: Callable[[Axes], None]
    ticks: Sequence[tuple[float, str]]
    unit: str

    def svg(self) -> Markup:
        """As inline SVG for a page."""
        return for_page(self._drawn("svg"), self.title, self.description)

    def png(self) -> bytes:
        """As a picture for a text."""
        return self._drawn("png")

    def _drawn(self, kind: str) -> bytes:
        import matplotlib as mpl
        from matplotlib.figure import Figure

        with mpl.rc_context({**STYLE, "svg.hashsalt": self.title}):
            figure = Figure(figsize=(WIDTH_IN, HEIGHT_IN), layout="constrained")
            self._fill(figure)
            picture = BytesIO()
            plain = {"metadata": {"Date": None}} if kind == "svg" else {"dpi": PNG_DPI}
            figure.savefig(picture, format=kind, facecolor="none" if kind == "svg" else "white", **plain)
        return picture.getvalue()

    def _fill(self, figure: Figure) -> None:
        axes = figure.add_subplot()
        self.draw(axes)
        step = -(-len(self.ticks) // MOST_LABELS) or 1
        axes.set_xticks([at for at, _ in self.ticks[::step]], [said for _, said in self.ticks[::step]])
        axes.set_ylabel(self.unit)
        axes.grid(axis="y", color=BAND, linewidth=0.8)
        axes.set_axisbelow(True)
        if axes.get_legend_handles_labels()[0]:
            axes.legend(loc="upper center", bbox_to_anchor=(0.5, 1.18), ncols=4, frameon=False)


def band(
    title: str,
    description: str,
    labels: Sequence[str],
    line: Series,
    low: Series,
    high: Series,
    *,
    unit: str,
    targets: Series | None = None,
) -> Drawing:
    """A line with points on it, and the range from `low` to `high` around it, its edges dashed.

    Args:
        title: what it shows.
        description: what can be seen in it, in words.
        labels: along the bottom, one a value.
        line, low, high: as many values as labels; None where there is none.
        unit: of the values.
        targets: what they should be, as a step where given.
    """

    def draw(axes: Axes) -> None:
        at = range(len(labels))
        bottom, top = _numbers(low), _numbers(high)
        axes.fill_between(at, bottom, top, color=BAND, linewidth=0, label=high.name)
        for edge in (bottom, top):
            axes.plot(at, edge, color=INK, linewidth=1, linestyle=(0, (4, 3)))
        axes.plot(at, _numbers(line), color=ACCENT, linewidth=2.5, marker="o", label=line.name)
        _targets(axes, targets)

    return Drawing(title, description, draw, list(enumerate(labels)), unit)


def bars(
    title: str, description: str, labels: Sequence[str], values: Series, *, unit: str, targets: Series | None = None
) -> Drawing:
    """Bars with their number above, and the target of each as a line across; arguments as for `band`."""

    def draw(axes: Axes) -> None:
        drawn = axes.bar(range(len(labels)), _numbers(values), width=0.62, color=BAND, edgecolor=INK, label=values.name)
        axes.bar_label(drawn, fmt="{:.6g}", padding=2)
        axes.margins(y=0.15)
        _targets(axes, targets)

    return Drawing(title, description, draw, list(enumerate(labels)), unit)


def _targets(axes: Axes, targets: Series | None) -> None:
    if targets is None:
        return
    known = [(at, value) for at, value in enumerate(targets.values) if value is not None]
    axes.hlines(
        [value for _, value in known],
        [at - 0.42 for at, _ in known],
        [at + 0.42 for at, _ in known],
        color=ACCENT,
        linewidth=3,
        label=targets.name,
    )


def _numbers(series: Series) -> list[float]:
    return [float("nan") if value is None else float(value) for value in series.values]
