"""Reports about the house: supplies, cleaning, and what is wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from core.notes import Clean, Stock, Trouble
from service.understanding.amounts import Amount, amounts
from service.understanding.found import Found, Report, Told
from service.understanding.sheet import Clause, Span, overlaps

SELF_EVIDENT = frozenset({"leak", "alarm", "algae", "smell", "injury", "fire", "heat", "cold", "pest", "disease"})
"""Troubles that need no word for "broken" beside them."""


def stock(report: Report, told: Told) -> Iterator[Found]:
    """Supplies out, low, at hand or received, each with its number where one was said."""
    clause = report.clause
    items = [one for one in clause.spans("supply") if not _holds_other(clause, one)]
    state = stock_state(clause)
    given = amounts(clause)
    for index, item in enumerate(items):
        floor = items[index - 1].end if index else clause.start
        amount = _amount_before(given, floor, item) or _amount_after(
            given, item, items[index + 1].start if index + 1 < len(items) else clause.end
        )
        seed = item.value == "seed"
        own = _state_of(clause, items, index, amount) or state
        if amount and amount.unit in ("plugs", "bags") and amount.start < item.start < amount.end:
            amount = Amount(amount.start, amount.end, amount.value, None)
        note = Stock(
            item=item.value,
            crop=_seed_crop(clause, item) if seed else None,
            state="have" if own is None else own,
            amount=amount.value if amount and own in ("have", "received", None) and not amount.vague else None,
            unit=amount.said if amount else None,
        )
        if note.amount is None and state in ("out", "low") and _at_hand(clause, item, floor):
            continue  # "out of labels but plenty of gloves"
        said = any(one.value == item.value and not seed for one in items[:index])
        if _told_before(report, note) or (said and note.amount is None):
            continue
        missing = ("crop",) if seed and note.crop is None else ()
        if note.state == "have" and note.amount is None:
            missing = (*missing, "count")
        yield Found(note, missing, item.start)
        if seed and index + 1 == len(items):
            yield from _more_seed(clause, note, given)


def _at_hand(clause: Clause, item: Span, floor: int) -> bool:
    """Whether a supply is called at hand, with no number, among others that are wanting."""
    there = (*clause.spans("word.enough"), *clause.spans("took"), *clause.spans("stock", "have"))
    near = [one for one in there if floor <= one.start and (one.end in (item.start, item.start - 1))]
    wanting = [one for one in clause.spans("stock", "out", "low") if one.end in (item.start, item.start - 1)]
    behind = any(0 <= one.start - item.end <= 1 for one in clause.spans("stock", "have"))
    return bool(near or behind) and not any(one.end > there.start for one in wanting for there in near)


def _told_before(report: Report, note: Stock) -> bool:
    """Whether the report before told of the same supply in the same state."""
    before = report.before
    if before is None or before.kind != "stock" or note.amount is not None or note.crop is not None:
        return False
    named = {one.value for one in before.clause.spans("supply")}
    return note.item in named and stock_state(before.clause) == note.state


def _more_seed(clause: Clause, first: Stock, given: list[Amount]) -> Iterator[Found]:
    """ "2 packets of cilantro seed and 1 of mint": further crops, each with its number before it."""
    crops = clause.spans("crop")
    for earlier, crop in pairwise(crops):
        own = [one for one in given if earlier.end <= one.start and one.end <= crop.start]
        if crop.value != first.crop and own and first.amount is not None:
            more = replace(first, crop=crop.value, amount=own[-1].value)
            yield Found(more, (), crop.start)


def _state_of(clause: Clause, items: list[Span], index: int, amount: Amount | None) -> str | None:
    """The state said with one of several supplies ("Labels: out. Bags: 150"): its own, else at hand by its number."""
    if len(items) < 2:
        return None
    start = items[index - 1].end if index else clause.start
    end = items[index + 1].start if index + 1 < len(items) else clause.end
    ahead = [one.start for one in clause.spans("stock") if one.end == end and end < clause.end]
    end = min([end, *ahead])  # "out of" right before the next supply is that one's
    after = stock_state(Clause(clause.sheet, items[index].end, end))
    counted = amount is not None and clause.sheet.is_mark(items[index].end, ":") and amount.start >= items[index].end
    listed = amount is not None and all(one.start >= end for one in clause.spans("stock"))
    counted = counted or (listed and stock_state(clause) in ("out", "low"))  # "200 bags, no labels"
    return "have" if counted and after is None else stock_state(Clause(clause.sheet, start, end))


def _holds_other(clause: Clause, item: Span) -> bool:
    """ "3 bags of calcium nitrate": what another supply comes in."""
    unit = clause.sheet.at("unit", item.start)
    if unit is None or unit.value not in ("bags", "boxes", "bottles", "packets"):
        return False
    of = clause.sheet.at("join.of", item.end)
    after = unit.end if unit.end > item.end else of.end if of is not None else None
    return after is not None and after < clause.end and clause.sheet.tokens[after].kind == "word"


def stock_state(clause: Clause) -> str | None:
    """The state said of supplies: the longest phrase decides, "no" and "need" only where nothing else is said."""
    spans = clause.spans("stock")
    if not spans:
        return "received" if _just_got(clause) else None
    value: str = max(spans, key=lambda one: (_weight(one), one.end - one.start)).value
    return value


def _just_got(clause: Clause) -> bool:
    """ "got 500 bags today": a number of supplies right behind the word that begins the clause."""
    first = clause.start + clause.sheet.within(clause.start, "self")
    took = clause.sheet.at("took", first) if clause.sheet.within(first, "act.gave") else None
    amount = next((one for one in amounts(clause) if took and one.start == took.end), None)
    own = amount is not None and any(one.start in (amount.end, amount.end - 1) for one in clause.spans("supply"))
    return own and not clause.has("recipient") and (not clause.has("crop") or clause.has("supply", "seed"))


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
    left = [code for one in clause.spans("place") if _left_out(clause, one) for code in one.value]
    named = [code for one in clause.spans("place") for code in one.value if len(code) <= 3]
    codes = tuple(dict.fromkeys(code for code in named if code not in left))
    things = list(
        dict.fromkeys(
            CLEANED[one.value]
            for one in clause.spans("cleanable")
            if not (_in_tank_name(clause, one) or _left_out(clause, one))
        )
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
    told_before = report.before.clause if report.before is not None else None
    if clause.has("cleanable") and not (things or codes):
        yield Found(Clean(), ("what",), clause.start)  # "cleaned everything except the filter"
    for thing in things:
        if thing == "towers" and not codes and told_before is not None and told_before.has("place"):
            yield from _those_towers(report, told_before)
        elif thing != "towers":
            yield Found(Clean(count=_how_many(clause, thing), what=thing), (), clause.start)
        elif not codes:
            count = _how_many(clause, thing)
            yield Found(Clean(count=count, what="towers"), () if count else ("where",), clause.start)


def _left_out(clause: Clause, place: Span) -> bool:
    """ "A1-A4 but not A3", "all towers except A3"."""
    starts = {place.start, place.start - clause.sheet.within(place.start - 1, "word.article")}
    out = (*clause.spans("correct.denial"), *clause.spans("except"), *clause.spans("time.except"))
    return any(one.end in starts or one.start < place.start < one.end for one in out)


def _those_towers(report: Report, before: Clause) -> Iterator[Found]:
    """Towers without codes after a report with some: "scrubbed both of those" means them."""
    count = _how_many(report.clause, "towers")
    codes = tuple(code for one in before.spans("place") for code in one.value)
    again = report.before is not None and report.before.kind == "clean"
    if report.clause.has("word.link"):
        yield Found(Clean(places=codes, what="towers"), (), report.clause.start)
    elif count or not again:
        yield Found(Clean(count=count, what="towers"), () if count else ("where",), report.clause.start)


def _in_tank_name(clause: Clause, span: Span) -> bool:
    if span.value == "towers":
        return overlaps(span, clause.spans("tank"))
    others = any(one.value != "tank" for one in clause.spans("cleanable"))
    if span.value == "tank" and any(one.start == span.end for one in clause.spans("cleanable")):
        return True  # "the main tank filter"
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
    named = any(clause.has(one) for one in ("tank", "thing", "rowless"))
    before = Clause(clause.sheet, 0, clause.start)
    if not named and _with_what_it_is(clause) != clause and kind in SEEN and before.end:
        return _whereabouts(before, kind)  # "about tower eleven. It has been dripping"
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
    broken = [one for one in broken if not (_is_way(clause, one) or clause.sheet.before("hedge.not", one.start))]
    spans = [one for one in clause.spans("trouble") if not _denied(clause, one)]
    reasons = [one for one in clause.spans("reason", "pest", "disease") if not _denied(clause, one)]
    for kind in ("injury", "fire", "leak"):
        if any(one.value == kind for one in spans):
            return kind
    spans = [one for one in spans if one.value != "smell" or clause.has("bad") or broken]
    sensed = [one for one in spans if one.value == "sensor"]
    if sensed and broken:
        return "sensor"
    about_farm, about_room = _about_farm(clause), _about_room(clause)
    about_it = _about_farm(_with_what_it_is(clause))
    for one in spans:
        meant = about_room if one.value in ("heat", "cold") else about_it or one.value not in NEEDS_FARM
        evident = (one.value in SELF_EVIDENT and meant) or one.end - one.start > 1
        felt = one.value in ("heat", "cold") and not clause.has("appliance")
        if evident or (not felt and any(not _same(one, word) for word in broken)):
            return str(one.value)
    if reasons and about_farm:
        return str(reasons[0].value)
    return None


NEEDS_FARM = frozenset({"smell", "heat", "cold", "pest", "disease", "algae"})
"""Troubles whose word alone could be about anything."""


def _with_what_it_is(clause: Clause) -> Clause:
    """A clause that speaks of "it" or "that", with all that was said before it."""
    refers = clause.has("word.it") or clause.has("word.link")
    return Clause(clause.sheet, 0, clause.end) if refers else clause


def _about_farm(clause: Clause) -> bool:
    """Whether anything of the farm is named: a plant, a place, a tank, the room."""
    return any(clause.has(one) for one in ("crop", "place", "rowless", "tank", "thing"))


def _about_room(clause: Clause) -> bool:
    """Whether the container, a tank or a place is named, of which heat and cold are said."""
    room = any(one.value == "room" for one in clause.spans("thing"))
    return room or any(clause.has(one) for one in ("place", "rowless", "tank"))


def _is_way(clause: Clause, broken: Span) -> bool:
    """ "took my coat off at the door", "track down any lights": one word before the thing, and not beside it."""
    things = clause.spans("trouble")
    whole = broken.end - broken.start > 1 and not clause.sheet.within(broken.end - 1, "join.to", "time.at")
    if whole or not things or any(one.start <= broken.start for one in things):
        return False
    apart = things[0].start - broken.end
    opens = broken.start == clause.start or clause.sheet.within(broken.start - 1, "join.and")
    article = apart == 1 and clause.sheet.within(broken.end, "word.article") and not opens
    return not (apart == 0 or article or overlaps(broken, clause.spans("reason")))


SEEN = frozenset({"pest", "disease", "leak", "smell", "algae", "alarm", "injury"})
"""Troubles that are told of as not there ("no aphids"); of the others "no" is the trouble itself ("no power")."""


def _denied(clause: Clause, trouble: Span) -> bool:
    at = trouble.start - clause.sheet.within(trouble.start - 1, "word.article", "time.all")
    at -= clause.sheet.within(at - 1, "word.is")
    denial = clause.sheet.before("hedge.not", at)
    none = any(0 <= one.start - trouble.end <= 5 for one in clause.sheet.marks.get("word.none", ()))
    behind = trouble.end + clause.sheet.is_mark(trouble.end, ":", "?", "-")
    over = any(0 <= one.start - trouble.end <= 1 or one.end == trouble.start for one in clause.spans("word.over"))
    nil = clause.sheet.before("word.none", at) or clause.sheet.at("word.nil", behind)
    none = none or (
        clause.sheet.before("word.checked", at) is not None and _nothing_seen(clause.sheet.whole(), trouble)
    )
    return trouble.value in SEEN and (denial is not None or nil is not None or none or over)


def _nothing_seen(whole: Clause, trouble: Span) -> bool:
    """ "checked for leaks, all good"."""
    told = (*whole.spans("word.nil"), *whole.spans("word.none"), *whole.spans("answer", "yes"))
    return any(one.start >= trouble.end for one in told)


def taken_back(clause: Clause) -> bool:
    """Whether what a clause finds wrong is said behind it not to be there ("that leak in A9: no leak at all")."""
    kind = trouble_kind(clause)
    later = [one for one in clause.sheet.marks.get("trouble", ()) if one.value == kind and one.start >= clause.end]
    return any(_denied(clause.sheet.whole(), one) for one in later)


def _same(one: Span, other: Span) -> bool:
    return one.start <= other.start and other.end <= one.end
