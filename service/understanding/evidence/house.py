"""What a piece must hold to be a report about water, supplies, cleaning or trouble."""

from __future__ import annotations

from core.notes import ADDABLE
from service.understanding import house, water
from service.understanding.amounts import amounts
from service.understanding.evidence.told import acted, any_hedge, volume
from service.understanding.sheet import Clause, Span


def calibrated(clause: Clause) -> bool:
    """A probe was calibrated."""
    probe = any(one.value == "probe" for one in clause.spans("thing"))
    return acted(clause, "calibrated") and (bool(water.measures(clause)) or probe)


def clean(clause: Clause) -> bool:
    """Something was cleaned."""
    what = clause.has("cleanable") or clause.has("place") or clause.has("rowless") or clause.has("tank")
    return (acted(clause, "clean") and what) or (
        acted(clause, "floor") and (clause.has("cleanable") or clause.end - clause.start <= 4)
    )


def added(clause: Clause) -> bool:
    """Something was put into a tank."""
    if clause.has("tank") and clause.has("took") and volume(clause):
        return True
    items = any(one.value in ADDABLE for one in clause.spans("supply"))
    if items and clause.has("tank") and volume(clause) and not any_hedge(clause):
        return True
    if not acted(clause, "added"):
        return False
    item = any(one.value in ADDABLE for one in clause.spans("supply")) or any(
        one.value == "water" for one in clause.spans("thing")
    )
    return (
        item or volume(clause) or (clause.has("tank") and any(one.value == "nutrient" for one in clause.spans("thing")))
    )


def reading(clause: Clause) -> bool:
    """Something was measured."""
    if water.measures(clause):
        measured = acted(clause, "measured") and not clause.has("supply")
        figures = [one for one in amounts(clause) if one.unit not in water.NOT_MEASURED and one.value < 100_000]
        valued = bool(figures) or measured or clause.has("fraction") or clause.has("vague.value")
        return valued and not clause.has("hedge.plan")
    if clause.has("tank") and any(one.unit == "percent" for one in amounts(clause)):
        return not clause.has("act.added")
    room = any(one.value == "room" for one in clause.spans("thing"))
    return (
        room
        and len(amounts(clause)) == 1
        and clause.sheet.within(clause.start, "word.it")
        and not clause.has("act.worked")
    )


def stock(clause: Clause) -> bool:
    """Supplies are out, low, counted or received."""
    if not clause.has("supply"):
        return False
    state = house.stock_state(clause)
    if state is None or clause.has("act.added") or not _near(clause, state):
        return False
    return state != "have" or _counted(clause)


def _near(clause: Clause, state: str) -> bool:
    """Whether the state is said beside the supply; a short word ("out", "no") right beside it."""
    if state == "have":
        return any(
            max(one.start - amount.end, amount.start - one.end) <= 1
            for one in clause.spans("stock", state)
            for amount in amounts(clause)
        ) or _near_item(clause, state)
    return _near_item(clause, state)


def _near_item(clause: Clause, state: str) -> bool:
    for item in clause.spans("supply"):
        for one in clause.spans("stock", state):
            apart = max(item.start - one.end, one.start - item.end)
            if apart <= (
                4 if one.end - one.start > 1 or len(clause.sheet.words[one.start]) > 5 else 1
            ) and not _someones(clause, item):
                return True
    return False


def _someones(clause: Clause, item: Span) -> bool:
    """ "my bag" is no supply of the farm."""
    return any(one.end == item.start for family in ("self", "other") for one in clause.spans(family))


def _counted(clause: Clause) -> bool:
    """Whether a number stands right beside a supply, an adjective between them at most."""
    return any(
        item.start == one.end
        or (item.start == one.end + 1 and clause.sheet.at("adjective", one.end) is not None)
        or one.start <= item.start < one.end
        or 0 <= one.start - item.end <= 2
        for one in amounts(clause)
        for item in clause.spans("supply")
    )


def trouble(clause: Clause) -> bool:
    """Something is wrong."""
    if clause.has("hedge.plan") and not clause.has("trouble", "leak", "injury"):
        return False
    if house.trouble_kind(clause) is None:
        return clause.has("broken", "vague")
    return True
