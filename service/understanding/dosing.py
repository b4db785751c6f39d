"""Reports about the tanks: what went into them, and probes calibrated."""

from __future__ import annotations

from collections.abc import Iterator

from core.notes import ADDABLE, Added, Calibrated
from service.understanding.amounts import MILLILITRES, Amount, amounts, same_unit
from service.understanding.found import Found, Report, Told
from service.understanding.sheet import Clause
from service.understanding.water import measures, tank_near


def added(report: Report, told: Told) -> Iterator[Found]:
    """What was put into a tank, one note an item; an amount said once holds for items joined by "and"."""
    clause = report.clause
    items = items_of(clause)
    given = same_unit(clause.sheet, amounts(clause))
    shared = [one for one in given if one.unit in MILLILITRES]
    for index, (start, end, item) in enumerate(items):
        last = index + 1 == len(items)
        amount = _amount_of(
            start,
            end,
            given,
            items[index - 1][1] if index else clause.start,
            clause.end if last else items[index + 1][0],
        )
        if amount is None and len(shared) == 1:
            amount = shared[0]
        yield _put_in(item, amount, clause, start, told)
    if not items:
        yield _put_in(None, shared[0] if shared else None, clause, clause.start, told)


def _put_in(item: str | None, amount: Amount | None, clause: Clause, at: int, told: Told) -> Found:
    where = tank_near(clause, at, told.sheet)
    millilitres = amount.value * MILLILITRES[amount.unit] if amount and amount.unit in MILLILITRES else None
    missing = () if item else ("what",)
    if amount is None or amount.vague:
        missing, millilitres = (*missing, "value"), None
    elif millilitres is None:
        missing = (*missing, "unit")
    if where is None:
        missing = (*missing, "where")
    return Found(Added(item=item, amount_ml=millilitres, where=where), missing, at)


def items_of(clause: Clause) -> list[tuple[int, int, str]]:
    """The things put in, in order: supplies that go into tanks, water, and nutrients called by their letter alone."""
    found = [(one.start, one.end, one.value) for one in clause.spans("supply") if one.value in ADDABLE]
    taken = {index for start, end, _ in found for index in range(start, end)}
    for one in clause.spans("thing", "water"):
        if one.start not in taken and not any(
            m.value == "water_temp" for m in clause.spans("measure") if m.start <= one.start < m.end
        ):
            found.append((one.start, one.end, "water"))
    for index in range(clause.start, clause.end):
        word = clause.sheet.words[index]
        if (
            word in ("a", "b")
            and index not in taken
            and index not in clause.sheet.taken
            and _is_nutrient(clause, index)
        ):
            found.append((index, index + 1, f"nutrient_{word}"))
    return sorted(set(found))


def _is_nutrient(clause: Clause, index: int) -> bool:
    """Whether a letter alone is a nutrient: after that word, in "A and B", or after "of" or a unit, no noun next."""
    sheet = clause.sheet
    named = (sheet.before("thing", index), sheet.at("thing", index + 1))
    if any(one is not None and one.value == "nutrient" for one in named) or _is_pair(clause, index):
        return True
    ends = index + 1 >= clause.end or sheet.tokens[index + 1].kind == "mark"
    ends = (
        ends
        or sheet.at("tank", index + 1) is not None
        or sheet.within(index + 1, "join.and", "join.to", "join.each", "join.from", "greeting")
    )
    return ends and (sheet.within(index - 1, "join.of") or sheet.before("unit", index) is not None)


def _is_pair(clause: Clause, index: int) -> bool:
    words, at = clause.sheet.words, index if clause.sheet.words[index] == "a" else index - 2
    if at < clause.start or at + 2 >= clause.end or (words[at], words[at + 2]) != ("a", "b"):
        return False
    return clause.sheet.is_mark(at + 1, "&", "+", "/") or clause.sheet.within(at + 1, "join.and")


def _amount_of(start: int, end: int, given: list[Amount], floor: int, ceiling: int) -> Amount | None:
    before = [one for one in given if floor <= one.start and one.end <= start]
    after = [one for one in given if end <= one.start < ceiling]
    if before:
        return before[-1]
    measured = [one for one in after if one.unit in MILLILITRES]
    return next(iter(measured or after), None)


def calibrated(report: Report, told: Told) -> Iterator[Found]:
    """Probes calibrated; the numbers of the buffers are no readings."""
    clause = report.clause
    named = list(dict.fromkeys(one.value for one in measures(clause)))
    tanks = list(dict.fromkeys(one.value for one in clause.spans("tank"))) or [None]
    if not named:
        yield Found(Calibrated(where=tanks[0]), ("what",), clause.start)
    own = _own_tanks(clause)
    for measure in named:
        for where in own.get(measure, tanks):
            yield Found(Calibrated(measure=measure, where=where), (), clause.start)


def _own_tanks(clause: Clause) -> dict[str, list[str | None]]:
    """ "pH in both, nursery and main, and EC in the main": the tanks behind each measure, when all have some."""
    spans = measures(clause)
    ends = [*(one.start for one in spans[1:]), clause.end]
    own: dict[str, list[str | None]] = {}
    for span, end in zip(spans, ends, strict=True):
        behind = [one.value for one in clause.spans("tank") if span.end <= one.start < end]
        own.setdefault(span.value, []).extend(dict.fromkeys(behind))
    return own if all(own.values()) else {}
