"""A programme taken apart where shared rows alone hold it together: a crop is a block, room and work are shared.

At a price for each shared row, the cheapest values of the blocks, each found by itself, cost together no more than any
solution of the whole: a bound. It is as high as that of the relaxation at least, and higher where a block alone must
round up. Knows nothing of farms or solvers.

Geoffrion A.M., Lagrangean relaxation for integer programming, Mathematical Programming Study 2:82-114, 1974.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from core.planning.programme import Programme, Terms


@dataclass(frozen=True, slots=True)
class Block:
    """A part that hangs on the others by shared rows only: its columns in the whole, and its own programme."""

    columns: Sequence[int]
    programme: Programme

    def cost(self, values: Sequence[float]) -> float:
        """What its part of the whole's values comes to, at its own costs."""
        pairs = zip(self.columns, self.programme.costs, strict=True)
        return sum(values[column] * cost for column, cost in pairs)

    def settled(self, values: Sequence[float]) -> dict[int, int]:
        """Its own whole numbers, by their columns in the whole."""
        return {self.columns[at]: round(values[at]) for at in self.programme.whole}


def split(programme: Programme, prices: Sequence[float]) -> tuple[float, list[Block]]:
    """The blocks of a programme, and what to add to their costs.

    Args:
        programme: the whole.
        prices: what one unit more of a row's bound costs, row by row, as the relaxation has it; only those of shared
            rows count, and those only that have the bound which the price is for.
    """
    shared, costs, added = set(programme.shared), list(programme.costs), 0.0
    for row in shared:
        price = prices[row]
        bound = programme.row_lows[row] if price > 0 else programme.row_highs[row]
        if price and math.isfinite(bound):
            added += price * bound
            for column, factor in programme.terms(row):
                costs[column] -= price * factor
    own = [row for row in range(len(programme.row_lows)) if row not in shared]
    return added, list(_blocks(programme, own, costs))


def _blocks(programme: Programme, own: Sequence[int], costs: Sequence[float]) -> Iterator[Block]:
    block_of = _joined(programme, own)
    columns: dict[int, list[int]] = {}
    rows: dict[int, list[int]] = {}
    for column, block in enumerate(block_of):
        columns.setdefault(block, []).append(column)
    for row in own:
        if terms := programme.terms(row):
            rows.setdefault(block_of[terms[0][0]], []).append(row)
    for block, within in columns.items():
        yield Block(within, _part(programme, within, rows.get(block, []), costs))


def _joined(programme: Programme, own: Sequence[int]) -> list[int]:
    """For each column one column of its block, the same for all of them."""
    towards = list(range(len(programme.costs)))

    def _end(column: int) -> int:
        while towards[column] != column:
            towards[column] = towards[towards[column]]
            column = towards[column]
        return column

    for row in own:
        for column, _ in programme.terms(row):
            towards[_end(column)] = _end(programme.terms(row)[0][0])
    return [_end(column) for column in towards]


def _part(programme: Programme, columns: Sequence[int], rows: Sequence[int], costs: Sequence[float]) -> Programme:
    part, at, whole = Programme(), {column: place for place, column in enumerate(columns)}, set(programme.whole)
    for column in columns:
        part.column(costs[column], programme.highs[column], whole=column in whole)
    for row in rows:
        terms: Terms = [(at[column], factor) for column, factor in programme.terms(row)]
        part.row(terms, programme.row_lows[row], programme.row_highs[row])
    return part
