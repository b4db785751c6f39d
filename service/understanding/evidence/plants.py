"""What a piece must hold to be a report about plants."""

from __future__ import annotations

from service.understanding.amounts import amounts
from service.understanding.evidence.told import acted, any_hedge, plants, volume, weight
from service.understanding.sheet import Clause


def stand(clause: Clause) -> bool:
    """So many came up."""
    if clause.has("crop") and len(clause.spans("count")) > 1 and clause.has("join.up") and clause.has("join.out_of"):
        return not (clause.has("act.move") or clause.has("word.into"))
    if _is_up(clause):
        return True
    told = acted(clause, "stand") and clause.has("count")
    return told and (clause.has("crop") or any(one.unit == "plugs" for one in amounts(clause)) or _of_so_many(clause))


def _is_up(clause: Clause) -> bool:
    """ "22 parsley up so far": a crop with "up" right behind it, and nothing done to it."""
    up = any(one.end == word.start for one in clause.spans("crop") for word in clause.spans("join.up"))
    done = any(clause.has(f"act.{one}") for one in ("harvest", "loss", "gave", "move", "plant", "added"))
    return up and clause.has("count") and not (done or clause.has("place") or any_hedge(clause))


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
    trays = any(one.unit in ("trays", "plugs") for one in amounts(clause)) or clause.has("unit", "trays", "plugs")
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
    if acted(clause, "loss") or clause.sheet.within(clause.start, "join.of"):
        return False  # "of the 72 parsley we put under the dome" only begins to tell
    if _into_places(clause):
        return True
    if not any(family.startswith("act.") and clause.has(family) for family in clause.sheet.marks):
        return clause.has("crop") and clause.has("count") and _from_and_to(clause)
    if acted(clause, "move"):
        return clause.has("crop") or (towers and (plants(clause) or clause.has("unit", "trays")))
    gives = any(clause.sheet.at("act.gave", one.start) for one in clause.spans("act.added"))
    put = acted(clause, "added") and not gives
    planted = acted(clause, "plant") or (put and not clause.has("supply") and not volume(clause))
    return planted and towers and clause.has("crop")


def _into_places(clause: Clause) -> bool:
    """ "two dozen oakleaf into D1 and D2": where plants went, with no word for picking or giving them."""
    into = any(one.start == to.end for to in clause.spans("word.into") for one in clause.spans("place"))
    done = any(clause.has(f"act.{one}") for one in ("harvest", "loss", "gave", "added"))
    return into and not done and clause.has("crop") and clause.has("count") and not any_hedge(clause)


def _from_and_to(clause: Clause) -> bool:
    """Whether one place stands after a word for "from" and another after one for "to"."""
    places = clause.spans("place")
    sheet = clause.sheet
    leads = [sheet.at("join.to", one.end) for one in places]
    if any(to is not None and any(one.start == to.end for one in places) for to in leads):
        return True
    origin = [one for one in places if clause.sheet.within(one.start - 1, "join.from")]
    to = [one for one in places if clause.sheet.within(one.start - 1, "join.to") and one not in origin]
    return bool(origin) and bool(to)


def gave(clause: Clause) -> bool:
    """Produce was handed over, or a recipient got it."""
    if not clause.has("recipient"):
        return _to_them(clause)
    if not (clause.has("crop") or weight(clause) or plants(clause)):
        return False
    if clause.has("crop") and _took(clause) and not any_hedge(clause):
        return True
    listed = clause.sheet.within(clause.start, "recipient") and clause.has("crop") and clause.has("count")
    if listed and (acted(clause.sheet.whole(), "gave") or _heads_list(clause)):
        return True
    if acted(clause, "gave"):
        heads = any(one.unit in ("heads", "bunches") for one in amounts(clause))
        return clause.has("crop") or weight(clause) or heads or clause.sheet.whole().has("crop")
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


def _heads_list(clause: Clause) -> bool:
    """ "kitchen 12 romaine 6 kale": who got it begins the text, right before a number."""
    first = clause.sheet.at("recipient", 0)
    return first is not None and clause.sheet.at("count", first.end) is not None and not any_hedge(clause)


def _to_them(clause: Clause) -> bool:
    """ "I gave him 20", "le di 8 manojos": who got it was named before, once."""
    sheet = clause.sheet
    named = {one.value for one in sheet.marks.get("recipient", ()) if one.start < clause.start}
    gave_them = any(
        sheet.within(one.end, "word.them") or sheet.at("word.them", one.start) for one in clause.spans("act.gave")
    )
    return len(named) == 1 and gave_them and acted(clause, "gave") and (plants(clause) or weight(clause))


def _took(clause: Clause) -> bool:
    """Whether a recipient is said to have got something: "the shelter picked up 6 lb"."""
    return any(
        0 <= took.start - to.end <= 2 and took.end > to.end
        for to in clause.spans("recipient")
        for took in clause.spans("took")
    )


def culls_some(clause: Clause) -> bool:
    """ "13 romaine, 1 more was gross so I threw it": of two numbers the second alone stands before the throwing out."""
    counts = clause.spans("count")
    heads = (*clause.spans("act.loss"), *clause.spans("cull"), *clause.spans("reason"))
    if len(counts) < 2 or not clause.has("crop") or not heads:
        return False
    of_crop = any(counts[1].end <= one.start <= counts[1].end + 2 for one in clause.spans("crop"))
    return not of_crop and min(one.start for one in heads) >= counts[1].end


def loss(clause: Clause) -> bool:
    """Plants were lost or thrown out."""
    if culls_some(clause):
        return False
    if acted(clause, "loss"):
        return clause.has("crop") or (
            plants(clause)
            and any(clause.has(*one) for one in (("reason",), ("place",), ("unit", "heads"), ("unit", "plugs")))
        )
    if acted(clause, "harvest"):
        return _spoiled(clause)
    if _bad_ones(clause) and not any_hedge(clause):
        return True
    own = [
        one
        for one in clause.spans("reason")
        if one.value in ("bolted", "broken", "wilt", "tipburn", "damping_off", "dry")
    ]
    return (
        bool(own) and clause.has("crop") and plants(clause) and not clause.has("act.harvest") and not any_hedge(clause)
    )


def _bad_ones(clause: Clause) -> bool:
    """ "took out 4 bad kale": the only number counts plants that are called bad before their name."""
    sheet = clause.sheet
    bad = [one for family in ("cull", "reason") for one in clause.spans(family)]
    counts = clause.spans("count")
    return len(counts) == 1 and any(one.start == counts[0].end and sheet.at("crop", one.end) for one in bad)


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
    if clause.has("recipient") or any_hedge(clause):
        return False
    return _took_some(clause) or (clause.has("took") and _taken_from(clause)) or _yielded(clause)


def _took_some(clause: Clause) -> bool:
    """ "got a few cilantro F17": how many has to be asked."""
    some = any(took.end == one.start for took in clause.spans("took") for one in clause.spans("vague.count"))
    return some and clause.has("crop") and clause.has("place")


def _yielded(clause: Clause) -> bool:
    """ "A1 gave 6 romaine": a tower that gives."""
    heads = clause.spans("act.gave")
    tower = any(0 <= head.start - one.end <= 2 for head in heads for one in clause.spans("place"))
    return tower and clause.has("crop") and plants(clause)


def _taken_from(clause: Clause) -> bool:
    """ "took 30 romaine from A10": a number of a crop out of towers."""
    out = any(clause.sheet.within(one.start - 1, "join.from") for one in clause.spans("place"))
    return out and not (clause.has("cull") or clause.has("reason")) and clause.has("crop") and plants(clause)


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
