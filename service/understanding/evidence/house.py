"""What a piece must hold to be a report about water, supplies, cleaning or trouble."""

from __future__ import annotations

from core.notes import ADDABLE
from service.understanding import dosing, house, water
from service.understanding.amounts import amounts
from service.understanding.evidence.told import acted, any_hedge, volume
from service.understanding.sheet import Clause, Span


def calibrated(clause: Clause) -> bool:
    """A probe was calibrated."""
    probe = any(one.value == "probe" for one in clause.spans("thing"))
    return acted(clause, "calibrated") and not clause.has("word.due") and (bool(water.measures(clause)) or probe)


def clean(clause: Clause) -> bool:
    """Something was cleaned."""
    if clause.has("trouble", "injury"):
        return False  # "cut her finger on the snips I cleaned"
    places = clause.spans("place")
    at = any(len(one.value) > 1 or not clause.sheet.within(one.start - 1, "join.from") for one in places)
    what = clause.has("cleanable") or at or clause.has("rowless") or clause.has("tank")
    return (acted(clause, "clean") and what) or (
        acted(clause, "floor") and (clause.has("cleanable") or clause.end - clause.start <= 4)
    )


def added(clause: Clause) -> bool:
    """Something was put into a tank."""
    if clause.has("tank") and clause.has("took") and volume(clause):
        return True
    items = bool(dosing.items_of(clause)) and not (clause.has("trouble") or clause.has("reason"))
    near = clause.has("tank") or (clause.sheet.marks.get("tank") and not clause.has("stock"))
    if items and ((near and volume(clause)) or _signed(clause)) and not any_hedge(clause):
        return True
    if not acted(clause, "added"):
        return False
    item = any(one.value in ADDABLE for one in clause.spans("supply")) or any(
        one.value == "water" for one in clause.spans("thing")
    )
    return (
        item or volume(clause) or (clause.has("tank") and any(one.value == "nutrient" for one in clause.spans("thing")))
    )


def _signed(clause: Clause) -> bool:
    """ "+15 pH up": a plus before the number says that it was put in."""
    return any(clause.sheet.is_mark(one.start - 1, "+") for one in amounts(clause))


def reading(clause: Clause) -> bool:
    """Something was measured; the numbers of buffers are none."""
    calibrating = clause.has("thing", "probe") and clause.sheet.whole().has("act.calibrated")
    if clause.sheet.whole().has("word.reference"):
        return False
    if clause.has("supply", "ph_buffer") or (calibrating and not clause.has("act.measured")):
        return False
    if clause.has("word.it") and clause.has("act.measured") and len(amounts(clause)) == 1 and clause.has("count"):
        return not any_hedge(clause) and all(one.unit is None for one in amounts(clause))
    if water.measures(clause):
        measured = acted(clause, "measured") and not clause.has("supply")
        figures = [one for one in amounts(clause) if one.unit not in water.NOT_MEASURED and one.value < 100_000]
        valued = bool(figures) or measured or clause.has("fraction") or clause.has("vague.value")
        return valued and not clause.has("hedge.plan")
    about_tank = clause.has("tank") or (clause.has("word.it") and clause.sheet.marks.get("tank"))
    if about_tank and any(one.unit == "percent" for one in amounts(clause)):
        return not clause.has("act.added")
    return _bare_heat(clause) or _bare_level(clause) or _bare_figure(clause)


def _bare_figure(clause: Clause) -> bool:
    """ "main 6.0": a tank and a decimal figure alone, of nobody knows what."""
    figures = [one for one in amounts(clause) if one.unit is None and "." in clause.sheet.words[one.start]]
    alone = not clause.sheet.marks.get("measure") and len(clause.words) <= 4
    return len(figures) == 1 and clause.has("tank") and alone


def _bare_level(clause: Clause) -> bool:
    """ "tank's at half": a part of a tank right after its name."""
    tanks = (*clause.spans("tank"), *clause.spans("thing", "tank"))
    return any(
        clause.sheet.within(tank.end, "word.is") and part.start - tank.end <= 2 and part.end == clause.end
        for tank in tanks
        for part in clause.spans("fraction")
    )


def _bare_heat(clause: Clause) -> bool:
    """ "its 84 in here", "71 in here": a number of the room and nothing else."""
    room = clause.spans("thing", "room")
    counted = amounts(clause)
    if not room or len(counted) != 1 or clause.has("act.worked"):
        return False
    edges = [*((one.start, one.end) for one in room), *((one.start, one.end) for one in counted)]
    covered = {index for start, end in edges for index in range(start, end)}
    rest = [index for index in range(clause.start, clause.end) if index not in covered]
    return clause.sheet.within(clause.start, "word.it") or (
        counted[0].start == clause.start and all(clause.sheet.within(one, "greeting", "relday", "part") for one in rest)
    )


def stock(clause: Clause) -> bool:
    """Supplies are out, low, counted or received."""
    if not clause.has("supply"):
        return False
    state = house.stock_state(clause)
    if state is None and any(clause.sheet.is_mark(one.end, ":") for one in clause.spans("supply")):
        return _counted(clause)
    if state == "received" and not clause.has("stock"):
        return _counted(clause)
    denied = any(clause.sheet.before("hedge.not", one.start) for one in clause.spans("stock", "out", "low"))
    if state is None or denied or clause.has("act.added") or not _near(clause, state):
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
            between = [few for few in amounts(clause) if one.end <= few.start and few.end <= item.start]
            apart -= sum(few.end - few.start for few in between)
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
        or any(one.end <= crop.start <= one.end + 1 and crop.end == item.start for crop in clause.spans("crop"))
        or one.start <= item.start < one.end
        or 0 <= one.start - item.end <= 2
        for one in amounts(clause)
        for item in clause.spans("supply")
    )


def trouble(clause: Clause) -> bool:
    """Something is wrong."""
    planned = clause.has("hedge.plan") and not clause.has("trouble", "leak", "injury") and not clause.has("word.why")
    elsewhere = clause.has("word.elsewhere") and not (clause.has("place") or clause.has("tank"))
    if planned or elsewhere or clause.has("word.fixed"):
        return False
    if house.trouble_kind(clause) is None:
        return clause.has("broken", "vague")
    return True
