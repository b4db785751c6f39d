"""Solving a mixed-integer programme with HiGHS, and proving how good the answer is; knows nothing of farms.

The relaxation (whole numbers may be broken) gives the bound: no plan costs less. Its values are rounded group by group,
the rest following each time, then bettered one by one. Where that is not good enough, the blocks between the shared
rows are proved one by one, which raises the bound; only then the tree of the whole is searched.

HiGHS: Huangfu Q., Hall J.A.J., Parallelizing the dual revised simplex method, Mathematical Programming Computation
10(1):119-142, 2018.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from time import perf_counter

import highspy
import numpy as np

from core.planning.blocks import Block, split
from core.planning.programme import Programme, Terms

GAP = 0.002
"""Good enough: this share of the cost is all that could be saved."""

HAIR = 1e-6
"""Nearer than this to a whole number is whole; less than this is no saving."""

FEW = 30
"""So many times rounded values are bettered before the blocks are looked at: what is easy is found by then."""

NODES = 200
"""A block that so many nodes of its tree do not settle keeps what it has: the answer is the same on any machine."""

SHARE = 0.8
"""Of the gap that is good enough, this share is left to the blocks; they may not go together quite."""

OPTIONS: dict[str, bool | int] = {"output_flag": False, "threads": 1, "random_seed": 1}
"""One core, and the same answer each time."""


@dataclass(frozen=True, slots=True)
class Solution:
    """The best values found, their cost, the bound that no solution is below, and the time it took. [s]"""

    values: Sequence[float]
    cost: float
    bound: float
    seconds: float = 0.0

    @property
    def gap(self) -> float:
        """What could be saved at most, as a share of the cost."""
        return max(0.0, self.cost - self.bound) / max(abs(self.cost), HAIR)

    def of(self, terms: Terms) -> float:
        """What a sum comes to."""
        return sum(self.values[column] * factor for column, factor in terms)


def relax(programme: Programme) -> Solution:
    """The cheapest values where whole numbers may be broken."""
    return Rounding(programme).now


def solve(
    programme: Programme,
    time_limit_s: float,
    *,
    gap: float = GAP,
    order: Sequence[Sequence[int]] = (),
    tries: int | None = None,
) -> Solution:
    """The cheapest values found in the time. One that can be carried out must exist with all whole unknowns at 0.

    Args:
        programme: what is sought.
        time_limit_s: once it is over nothing new is begun; a first solution is always finished. [s]
        gap: good enough.
        order: the whole unknowns in groups, those to be settled first in front; all in one, if left out.
        tries: where given, the rounded values are bettered so many times at most, and of trees only those of the blocks
            are searched, without regard to the time: the answer is then the same on a quick machine and a slow one.
    """
    began = perf_counter()
    rounding = Rounding(programme)
    for group in order or [programme.whole]:
        rounding.settle(group)
    until = began + time_limit_s if tries is None else math.inf
    rounding.better(programme.whole, gap, until, FEW if tries is None else tries)
    rounding.by_blocks(programme, gap, until)
    if tries is None:
        rounding.better(programme.whole, gap, until, math.inf)
    found, left = rounding.now, until - perf_counter()
    if found.gap > gap and left > 0 and tries is None:
        searched = _search(programme, left, gap, found)
        best = min(found, searched, key=lambda one: one.cost)
        found = replace(best, bound=max(found.bound, searched.bound))
    return replace(found, seconds=perf_counter() - began)


def prove(programme: Programme, time_limit_s: float, *, start: Sequence[float] = ()) -> Solution:
    """The cheapest values there are, by branch and bound; the gap tells where the time did not do for the proof.

    Args:
        programme: what is sought. It must have a solution.
        time_limit_s: the best found by then is given. [s]
        start: values to begin from.
    """
    began = perf_counter()
    found = _search(programme, time_limit_s, 0.0, Solution(start, math.inf, -math.inf))
    return replace(found, seconds=perf_counter() - began)


class Rounding:
    """A relaxation of which more and more unknowns are settled on whole numbers. Each step starts from the last."""

    def __init__(self, programme: Programme) -> None:
        self.solver = _solver()
        self.solver.passModel(_model(programme, relaxed=True))
        self.solver.run()
        self.bound = self.cost
        broken = self.solver.getSolution()
        self.broken: Sequence[float] = broken.col_value
        self.prices: Sequence[float] = broken.row_dual

    @property
    def cost(self) -> float:
        """What the values now come to."""
        return float(self.solver.getInfo().objective_function_value)

    @property
    def now(self) -> Solution:
        """The values as they are."""
        return Solution(self.solver.getSolution().col_value, self.cost, self.bound)

    def settle(self, group: Iterable[int]) -> None:
        """A group on the next whole numbers above; where that cannot be carried out, on those below, which can."""
        values = self.solver.getSolution().col_value
        above = {column: math.ceil(values[column] - HAIR) for column in group}
        if above and not self._try(above):
            self._try({column: math.floor(values[column] + HAIR) for column in above})

    def better(self, settled: Iterable[int], gap: float, until: float, tries: float) -> None:
        """One by one, most promising first, settled unknowns are moved by one as long as it saves something."""
        columns, tried = list(settled), set[int]()
        while tries > 0 and perf_counter() < until and self.now.gap > gap:
            tries -= 1
            values, prices = self.solver.getSolution().col_value, self.solver.getSolution().col_dual
            promising = [at for at in columns if at not in tried and prices[at] * (values[at] > 0.5 or -1) > HAIR]
            if not promising:
                return
            column = max(promising, key=lambda at: abs(prices[at]))
            if self._saves({column: round(values[column]) + (-1 if prices[column] > 0 else 1)}):
                tried.clear()
            else:
                tried.add(column)

    def by_blocks(self, programme: Programme, gap: float, until: float) -> None:
        """The bound raised to that of the blocks, proved alone; a block's own values are taken where that saves."""
        now = self.now
        if now.gap <= gap or not programme.shared:
            return
        added, blocks = split(programme, self.prices)
        found = [_in_the_whole(block, now.values, self.broken) for block in blocks]
        enough = SHARE * gap * abs(now.cost)
        _prove_each(blocks, found, now.cost - self.bound - enough, enough / len(blocks), until)
        self.bound = max(self.bound, added + sum(one.bound for one in found))
        wanted = [one.settled(its.values) for one, its in zip(blocks, found, strict=True)]
        if not self._saves({column: value for one in wanted for column, value in one.items()}):
            for one in wanted:
                self._saves(one)

    def _saves(self, wanted: dict[int, int]) -> bool:
        """Move settled unknowns where that saves something, and leave them where it does not."""
        before, values = self.cost, self.solver.getSolution().col_value
        kept = {column: round(values[column]) for column in wanted}
        if kept == wanted:
            return False
        if self._try(wanted) and self.cost < before - HAIR:
            return True
        self._try(kept)
        return False

    def _try(self, wanted: dict[int, int]) -> bool:
        """Settle unknowns; whether that can be carried out."""
        for column, value in wanted.items():
            self.solver.changeColBounds(column, value, value)
        self.solver.run()
        return bool(self.solver.getModelStatus() == highspy.HighsModelStatus.kOptimal)


def _in_the_whole(block: Block, values: Sequence[float], broken: Sequence[float]) -> Solution:
    """A block as it is in the whole, above what it comes to where whole numbers may be broken."""
    return Solution([values[column] for column in block.columns], block.cost(values), block.cost(broken))


def _prove_each(blocks: Sequence[Block], found: list[Solution], away: float, slack: float, until: float) -> None:
    """Blocks solved by themselves, the least settled first, until cost and bound of the whole are `away` less apart."""

    def _unsettled(at: int) -> float:
        return found[at].cost - found[at].bound

    for at in sorted(range(len(blocks)), key=_unsettled, reverse=True):
        before, left = _unsettled(at), until - perf_counter()
        if away <= 0 or before <= slack or left <= 0:
            return
        if blocks[at].programme.whole:
            found[at] = _alone(blocks[at].programme, found[at], left, slack)
            away -= before - _unsettled(at)


def _alone(programme: Programme, start: Solution, time_limit_s: float, slack: float) -> Solution:
    found = _search(programme, time_limit_s, 0.0, start, mip_abs_gap=slack, mip_max_nodes=NODES)
    return replace(found, bound=min(found.cost, max(start.bound, found.bound)))


def _search(programme: Programme, time_limit_s: float, gap: float, start: Solution, **limits: float) -> Solution:
    """Branch and bound, from a solution on.

    HiGHS 1.16 at times carries a start into its reduced model at too low a cost, and then takes it for the best there
    is. What it says is therefore reckoned again; where it does not agree, the search is done without the start.
    """
    options = {"mip_rel_gap": gap, "time_limit": time_limit_s, **limits}
    found = _branched(programme, options, start)
    if len(start.values) and abs(found.cost - _cost(programme, found.values)) > HAIR * max(1.0, abs(found.cost)):
        alone = _branched(programme, options, replace(start, values=()))
        return alone if len(alone.values) and alone.cost < start.cost else replace(start, bound=alone.bound)
    return found


def _branched(programme: Programme, options: Mapping[str, float], start: Solution) -> Solution:
    solver = _solver()
    for name, value in options.items():
        solver.setOptionValue(name, value)
    solver.passModel(_model(programme, relaxed=False))
    if len(start.values):
        solver.setSolution(len(start.values), np.arange(len(start.values), dtype=np.int32), np.array(start.values))
    solver.run()
    info = solver.getInfo()
    cost = float(info.objective_function_value)
    if not math.isfinite(cost) or info.primal_solution_status != 2:
        return replace(start, bound=max(start.bound, float(info.mip_dual_bound)))
    return Solution(solver.getSolution().col_value, cost, float(info.mip_dual_bound))


def _cost(programme: Programme, values: Sequence[float]) -> float:
    return float(np.dot(programme.costs, values)) if len(values) else math.inf


class Silent(highspy.Highs):
    """Without the lines that are printed when it is made: standard output is for what programs read."""

    def enableCallbacks(self) -> None:
        """The last step of its making, and the one that prints."""
        self.setOptionValue("output_flag", False)
        super().enableCallbacks()  # type: ignore[no-untyped-call]


def _solver() -> highspy.Highs:
    solver = Silent()  # type: ignore[no-untyped-call]
    for name, value in OPTIONS.items():
        solver.setOptionValue(name, value)
    return solver


def _model(programme: Programme, *, relaxed: bool) -> highspy.HighsLp:
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(programme.costs), len(programme.row_lows)
    model.col_cost_, model.col_lower_ = np.array(programme.costs), np.array(programme.lows)
    model.col_upper_ = np.array(programme.highs)
    model.row_lower_, model.row_upper_ = np.array(programme.row_lows), np.array(programme.row_highs)
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.array(programme.starts, np.int32)
    model.a_matrix_.index_ = np.array(programme.columns, np.int32)
    model.a_matrix_.value_ = np.array(programme.factors)
    if not relaxed:
        whole = set(programme.whole)
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        model.integrality_ = [kinds[column in whole] for column in range(len(programme.costs))]
    return model
