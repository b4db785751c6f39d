"""Reports about the house: supplies, cleaning, and what is wrong."""

from __future__ import annotations

from collections.abc import Iterator

from core.notes import Clean, Stock, Trouble
from service.understanding.amounts import Amount, amounts
from service.understanding.found import Found, Report, Told
from service.understanding.sheet import Clause, Span, overlaps

SELF_EVIDENT = frozenset({"leak", "alarm", "algae", "smell", "injury", "heat", "cold", "pest", "disease"})
"""Troubles that need no word for "broken" beside them."""


def stock(report: Report, told: Told) -> Iterator[Found]:
    """Supplies out, low, at hand or received, each with its number where one was said."""
    clause = report.clause
    items = clause.spans("supply")
    state = stock_state(clause)
    given = amounts(clause)
    for index, item in enumerate(items):
        floor = items[index - 1].end if index else clause.start
        amount = _amount_before(given, floor, item) or _amount_after(
            given, item, items[index + 1].start if index + 1 < len(items) else clause.end
        )
        seed = item.value == "seed"
        if amount and amount.unit in ("plugs", "bags") and amount.start < item.start < amount.end:
            amount = Amount(amount.start, amount.end, amount.value, None)
        note = Stock(
            item=item.value,
            crop=_seed_crop(clause, item) if seed else None,
            state="have" if state is None else state,
            amount=amount.value if amount and state in ("have", "received", None) and not amount.vague else None,
            unit=amount.said if amount else None,
        )
        missing = ("crop",) if seed and note.crop is None else ()
        if note.state == "have" and note.amount is None:
            missing = (*missing, "count")
        yield Found(note, missing, item.start)


def stock_state(clause: Clause) -> str | None:
    """The state said of supplies: the longest phrase decides, "no" and "need" only where nothing else is said."""
    spans = clause.spans("stock")
    if not spans:
        return None
    value: str = max(spans, key=lambda one: (_weight(one), one.end - one.start)).value
    return value


def _weight(span: Span) -> int:
    return {"low": 3, "out": 2, "received": 2, "have": 1}[span.value]


def _amount_before(given: list[Amount], floor: int, item: Span) -> Amount | None:
    before = [one for one in given if floor <= one.start < item.start and one.unit not in ("hours", "minutes", "years")]
    return before[-1] if before else None


def _amount_after(given: list[Amount], item: Span, limit: int) -> Amount | None:
    after = [one for one in given if item.end <= one.start < limit and one.unit not in ("hours", "minutes", "years")]
    return after[0] if after else None


def _seed_crop(clause: Clause, item: Span) -> str | None:
    crops = clause.spans("crop")
    value: str | None = min(crops, key=lambda one: abs(one.start - item.start)).value if crops else None
    return value


CLEANED = {"tray": "trays", "tank": "tank", "floor": "floor", "filter": "filter", "tools": "tools", "towers": "towers"}


def clean(report: Report, told: Told) -> Iterator[Found]:
    """Cleaned: towers by their codes or number, trays, tank, floor, filter, tools."""
    clause = report.clause
    codes = tuple(dict.fromkeys(code for one in clause.spans("place") for code in one.value if len(code) <= 3))
    things = list(
        dict.fromkeys(CLEANED[one.value] for one in clause.spans("cleanable") if not _in_tank_name(clause, one))
    )
    if clause.has("act.floor") and "floor" not in things:
        things.append("floor")
    if clause.has("tank") and not things:
        things.append("tank")
    if codes:
        yield Found(Clean(places=codes, what="towers"), (), clause.start)
    if clause.has("rowless") and not codes:
        yield Found(Clean(what="towers"), ("where",), clause.start)
        return
    for thing in things:
        if thing != "towers":
            yield Found(Clean(count=_how_many(clause, thing), what=thing), (), clause.start)
        elif not codes:
            count = _how_many(clause, thing)
            yield Found(Clean(count=count, what="towers"), () if count else ("where",), clause.start)


def _in_tank_name(clause: Clause, span: Span) -> bool:
    if span.value == "towers":
        return overlaps(span, clause.spans("tank"))
    others = any(one.value != "tank" for one in clause.spans("cleanable"))
    before = clause.sheet.words[max(clause.start, span.start - 2) : span.start]
    return span.value == "tank" and others and bool({"del", "of", "in", "from", "on", "en", "de"} & set(before))


def _how_many(clause: Clause, thing: str) -> float | None:
    if thing not in ("towers", "trays"):
        return None
    kinds = [one for one in clause.spans("cleanable") if CLEANED[one.value] == thing]
    for one in amounts(clause):
        unit_fits = one.unit == thing or (one.unit is None and any(0 <= kind.start - one.end <= 2 for kind in kinds))
        if unit_fits and not one.vague:
            return one.value
    plain = [one.value for one in amounts(clause) if one.unit is None and not one.vague]
    return plain[0] if len(plain) == 1 and len(kinds) == 1 and clause.has("act.worked") else None


def trouble(report: Report, told: Told) -> Iterator[Found]:
    """Something is wrong, and where."""
    clause = report.clause
    kind = trouble_kind(clause)
    if kind is None:
        yield Found(Trouble(), ("what",), clause.start)
        return
    where, missing = _whereabouts(clause, kind)
    crop = clause.one("crop")
    yield Found(Trouble(kind=kind, where=where, crop=crop), missing, clause.start)


def _whereabouts(clause: Clause, kind: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    codes = tuple(dict.fromkeys(code for one in clause.spans("place") for code in one.value))
    if codes:
        return codes, ()
    if clause.has("rowless") or (not clause.has("tank") and any(one.value == "tower" for one in clause.spans("thing"))):
        return (), ("where",)
    tank = clause.first("tank")
    if tank:
        return (tank,), ()
    if any(one.value == "room" for one in clause.spans("thing")):
        return ("room",), ()
    return (), ()


def trouble_kind(clause: Clause) -> str | None:
    """The trouble a clause tells of, or None; a thing alone ("the pump") is none, it takes something wrong with it."""
    broken = clause.spans("broken", "yes")
    spans = clause.spans("trouble")
    reasons = [one for one in clause.spans("reason") if one.value in ("pest", "disease")]
    for kind in ("injury", "leak"):
        if any(one.value == kind for one in spans) and not _benign(clause, kind):
            return kind
    spans = [one for one in spans if one.value != "smell" or clause.has("bad") or broken]
    sensed = [one for one in spans if one.value == "sensor"]
    if sensed and broken:
        return "sensor"
    about_farm, about_room = _about_farm(clause), _about_room(clause)
    for one in spans:
        meant = about_room if one.value in ("heat", "cold") else about_farm or one.value not in NEEDS_FARM
        evident = (one.value in SELF_EVIDENT and meant) or one.end - one.start > 1
        felt = one.value in ("heat", "cold") and not clause.has("appliance")
        if evident or (not felt and any(not _same(one, word) for word in broken)):
            return str(one.value)
    if reasons and about_farm:
        return str(reasons[0].value)
    return None


NEEDS_FARM = frozenset({"smell", "heat", "cold", "pest", "disease", "algae"})
"""Troubles whose word alone could be about anything."""


def _about_farm(clause: Clause) -> bool:
    """Whether anything of the farm is named: a plant, a place, a tank, the room."""
    return any(clause.has(one) for one in ("crop", "place", "rowless", "tank", "thing"))


def _about_room(clause: Clause) -> bool:
    """Whether the container, a tank or a place is named, of which heat and cold are said."""
    room = any(one.value == "room" for one in clause.spans("thing"))
    return room or any(clause.has(one) for one in ("place", "rowless", "tank"))


def _benign(clause: Clause, kind: str) -> bool:
    return clause.has("hedge.not") and kind == "leak"


def _same(one: Span, other: Span) -> bool:
    return one.start <= other.start and other.end <= one.end
