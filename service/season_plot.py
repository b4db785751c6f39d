"""The picture of seasons played: what was given week by week under each way of sowing, and what it cost.

Colours are those of Okabe and Ito (Color Universal Design, 2008, from memory), which colour-blind people tell apart;
each way has a line style and a marker of its own besides.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from statistics import fmean
from typing import Any

from core.planning.simulator import Score

LOOKS = (("#D55E00", "--", "s"), ("#0072B2", "-", "o"), ("#009E73", ":", "^"), ("#CC79A7", "-.", "D"))

COSTS = (
    ("targets_met", "targets met, %", 100),
    ("wasted", "wasted heads and bunches a week", 1),
    ("hours", "hours of work a week", 1),
    ("occupied", "towers planted, %", 100),
)
"""Figure of a Score -> its label, and what it is multiplied by."""


def draw(farm: str, scores: Mapping[str, Sequence[Score]], file: Path) -> None:
    """Write the picture to a file; its ending says the format (svg, png, pdf).

    Raises:
        ValueError: the ending names no format that can be written.
    """
    import matplotlib as mpl
    from matplotlib.figure import Figure

    seasons = len(next(iter(scores.values())))
    with mpl.rc_context(
        {"font.size": 10, "svg.fonttype": "none", "axes.spines.top": False, "axes.spines.right": False}
    ):
        figure = Figure(figsize=(11, 6.2), layout="constrained")
        grid = figure.add_gridspec(len(COSTS), 2, width_ratios=(3, 2))
        figure.suptitle(f"{farm}: a season played {_times(seasons)} under each way of sowing")
        _weeks(figure.add_subplot(grid[:, 0]), scores)
        for row, (name, label, factor) in enumerate(COSTS):
            _figure(figure.add_subplot(grid[row, 1]), scores, name, label, factor)
        figure.savefig(file, dpi=150)


def _times(seasons: int) -> str:
    return "once" if seasons == 1 else f"{seasons} times"


def _weeks(axes: Any, scores: Mapping[str, Sequence[Score]]) -> None:
    """What was given of what was asked for, by week: the mean of the seasons."""
    for (policy, played), (colour, line, _) in zip(scores.items(), LOOKS, strict=False):
        mean = [100 * fmean(week) for week in zip(*(one.by_week for one in played), strict=True)]
        axes.plot(range(1, len(mean) + 1), mean, line, color=colour, linewidth=2, label=policy)
    axes.set(xlabel="week of the season", ylabel="given of what was asked for, %", xlim=(1, None), ylim=(None, 101))
    axes.grid(axis="y", alpha=0.3)
    axes.legend(loc="lower center", ncols=len(scores), frameon=False, bbox_to_anchor=(0.5, 1.0))


def _figure(axes: Any, scores: Mapping[str, Sequence[Score]], name: str, label: str, factor: float) -> None:
    """One figure: a mark for the mean, a line from the least to the most of the seasons."""
    for at, (played, (colour, _, marker)) in enumerate(zip(scores.values(), LOOKS, strict=False)):
        values = [factor * getattr(one, name) for one in played]
        axes.plot([min(values), max(values)], [at, at], "-", color=colour, linewidth=2)
        axes.plot(fmean(values), at, marker, color=colour, markersize=7)
        axes.annotate(
            f"{fmean(values):.0f}", (fmean(values), at), (0, 6), textcoords="offset points", ha="center", fontsize=9
        )
    axes.set_yticks(range(len(scores)), list(scores))
    axes.set(ylim=(len(scores) - 0.4, -0.7))
    axes.set_title(label, fontsize=10, loc="left")
    axes.margins(x=0.1)
