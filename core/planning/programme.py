"""A mixed-integer programme, written down column by column and row by row; knows nothing of farms or solvers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

Terms = list[tuple[int, float]]
"""A sum: columns with their factors."""


@dataclass(slots=True)
class Programme:
    """Columns (the unknowns) with cost and bounds, rows (sums of them) with bounds; the least cost is sought.

    whole: the columns that take whole numbers only. shared: the rows, if any are known, without which it falls into
    parts that have nothing to do with each other. starts, columns, factors: the rows, one after the other.
    """

    costs: list[float] = field(default_factory=list)
    lows: list[float] = field(default_factory=list)
    highs: list[float] = field(default_factory=list)
    whole: list[int] = field(default_factory=list)
    shared: list[int] = field(default_factory=list)
    row_lows: list[float] = field(default_factory=list)
    row_highs: list[float] = field(default_factory=list)
    starts: list[int] = field(default_factory=lambda: [0])
    columns: list[int] = field(default_factory=list)
    factors: list[float] = field(default_factory=list)

    def column(self, cost: float = 0.0, high: float = math.inf, *, whole: bool = False) -> int:
        """A new unknown from 0 to `high`."""
        self.costs.append(cost)
        self.lows.append(0.0)
        self.highs.append(high)
        if whole:
            self.whole.append(len(self.costs) - 1)
        return len(self.costs) - 1

    def row(
        self,
        terms: Sequence[tuple[int, float]],
        low: float = -math.inf,
        high: float = math.inf,
        *,
        shared: bool = False,
    ) -> None:
        """The sum of the terms lies from `low` to `high`."""
        drawn: dict[int, float] = {}
        for column, factor in terms:
            drawn[column] = drawn.get(column, 0.0) + factor
        self.columns += drawn.keys()
        self.factors += drawn.values()
        self.starts.append(len(self.columns))
        self.row_lows.append(low)
        self.row_highs.append(high)
        if shared:
            self.shared.append(len(self.row_lows) - 1)

    def terms(self, row: int) -> Terms:
        """The sum in a row."""
        within = slice(self.starts[row], self.starts[row + 1])
        return list(zip(self.columns[within], self.factors[within], strict=True))

    def distance(self, terms: Terms, target: float, cost: float) -> tuple[int, int]:
        """Two new unknowns, how far the sum lies above the target and below it, each unit of them at a cost."""
        above, below = self.column(cost), self.column(cost)
        self.row([*terms, (above, -1.0), (below, 1.0)], target, target)
        return above, below
