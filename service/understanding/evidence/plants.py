"""What a piece must hold to be a report about plants."""

from __future__ import annotations

from service.understanding.amounts import amounts
from service.understanding.evidence.told import acted, any_hedge, plants, volume, weight
from service.understanding.sheet import Clause


def stand(clause: Clause) -> bool:
    """So many came up."""
    if clause.has("crop") and len(clause.spans("count")) > 1 and clause.has("join.up") and clause.has("join.out_of"):
        return not clause.has("act.move")
    told = acted(clause, "stand") and clause.has("count")
    return told and (clause.has("crop") or any(one.unit == "plugs" for one in amounts(clause)) or _of_so_many(clause))


def _of_so_many(clause: Clause) -> bool:
    """ "41 out of 72": one number of another."""
    counts = clause.spans("count")
    return any(
        one.end == of.start and of.end == two.start
        for one in counts
        for of in clause.spans("join.out_of")
        for two in counts
    )


def sow(clause: Clause) -> bool:
    """Seeds were sown."""
    trays = any(one.unit in ("trays", "plugs") for one in amounts(clause)) or clause.has("unit", "trays")
    if acted(clause, "sow"):
        return clause.has("crop") or trays or clause.has("unit", "trays")
    return (
        acted(clause, "plant")
        and trays
        and clause.has("crop")
        and not (clause.has("place") or clause.has("cleanable", "towers"))
    )


def move(clause: Clause) -> bool:
    """Plants went up a stage or into towers."""
    towers = clause.has("place") or clause.has("rowless") or clause.has("cleanable", "towers")
    if acted(clause, "loss"):
        return False
    if not any(family.startswith("act.") and clause.has(family) for family in clause.sheet.marks):
        return clause.has("crop") and clause.has("count") and _from_and_to(clause)
    if acted(clause, "move"):
        return clause.has("crop") or (towers and (plants(clause) or clause.has("unit", "trays")))
    planted = acted(clause, "plant") or (acted(clause, "added") and not clause.has("supply") and not volume(clause))
    return planted and towers and clause.has("crop")


def _from_and_to(clause: Clause) -> bool:
    """Whether one place stands after a word for "from" and another after one for "to"."""
    places = clause.spans("place")
    origin = [one for one in places if clause.sheet.within(one.start - 1, "join.from")]
    to = [one for one in places if clause.sheet.within(one.start - 1, "join.to") and one not in origin]
    return bool(origin) and bool(to)


def gave(clause: Clause) -> bool:
    """Produce was handed over, or a recipient got it."""
    if not clause.has("recipient") or not (clause.has("crop") or weight(clause) or plants(clause)):
        return False
    if clause.has("crop") and _took(clause) and not any_hedge(clause):
        return True
    if acted(clause, "gave"):
        return clause.has("crop") or weight(clause) or clause.sheet.whole().has("crop")
    if any(clause.sheet.is_mark(one.end, ":") for one in clause.spans("recipient")) and not any_hedge(clause):
        return clause.has("crop") and clause.has("count")
    towards = any(
        one.start < to.start <= one.end + 1 for one in clause.spans("join.to") for to in clause.spans("recipient")
    )
    return (
        towards
        and clause.has("crop")
        and clause.has("count")
        and not clause.has("act.harvest")
        and not any_hedge(clause)
    )


def _took(clause: Clause) -> bool:
    """Whether a recipient is said to have got something: "the shelter picked up 6 lb"."""
    return any(
        0 <= took.start - to.end <= 2 and took.end > to.end
        for to in clause.spans("recipient")
        for took in clause.spans("took")
    )


def loss(clause: Clause) -> bool:
    """Plants were lost or thrown out."""
    if acted(clause, "loss"):
        return clause.has("crop") or (
            plants(clause)
            and any(clause.has(*one) for one in (("reason",), ("place",), ("unit", "heads"), ("unit", "plugs")))
        )
    if acted(clause, "harvest") and _spoiled(clause):
        return True
    own = [
        one
        for one in clause.spans("reason")
        if one.value in ("bolted", "broken", "wilt", "tipburn", "damping_off", "dry")
    ]
    return (
        bool(own) and clause.has("crop") and plants(clause) and not clause.has("act.harvest") and not any_hedge(clause)
    )


def _spoiled(clause: Clause) -> bool:
    """ "pulled 2 bolted cilantro": what is picked is called spoiled just before its name."""
    return any(
        0 <= crop.start - one.end <= 1
        for one in clause.spans("reason")
        for crop in clause.spans("crop")
        if one.value not in ("other", "broken")
    )


def harvest(clause: Clause) -> bool:
    """Something was picked."""
    if acted(clause, "harvest"):
        return clause.has("crop") or (clause.has("place") and clause.has("count")) or _bare_count(clause)
    return False


def _bare_count(clause: Clause) -> bool:
    """ "Picked 18 today": the number stands beside the verb and counts nothing else."""
    heads = clause.spans("act.harvest")
    for one in amounts(clause):
        near = any(0 <= one.start - head.end <= 1 or one.end == head.start for head in heads)
        if near and (
            one.unit in ("heads", "bunches")
            or (one.unit in (None, "lb", "oz", "kg", "g") and _nothing_after(clause, one.end))
        ):
            return True
    return False


def _nothing_after(clause: Clause, index: int) -> bool:
    sheet = clause.sheet
    return index >= clause.end or any(
        sheet.at(family, index)
        for family in ("relday", "part", "word.now", "join.from", "period", "time.at", "place", "join.and", "greeting")
    )
