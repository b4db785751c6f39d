"""Reports about plants: picked, lost, sown, come up, moved, handed over."""

from __future__ import annotations

from collections.abc import Iterator

from core.notes import Gave, Harvest, Loss, Move, Note, Sow, Stand
from service.understanding.amounts import amounts
from service.understanding.found import Found, Report, Told
from service.understanding.lots import Lot, lots
from service.understanding.sheet import Clause, Span


def harvest(report: Report, told: Told) -> Iterator[Found]:
    """Picked, with what was thrown out while picking."""
    clause = report.clause
    culled, at = _culled(clause)
    found = lots(clause, at)
    whose = _whose(clause, at, len(found))
    for index, lot in enumerate(found):
        missing = _lacks(lot)
        if culled is not None and whose is None and index == 0:
            missing = (*missing, "what")  # "12 romaine and 8 kale, tossed 2"
        if lot.rowless:
            missing = (*missing, "where")
        note = Harvest(
            crop=lot.crop,
            count=None if missing and "count" in missing else lot.count,
            weight_g=lot.weight_g,
            places=tuple(lot.places),
            culled=culled if index == whose else None,
        )
        yield Found(note, missing, clause.start)


def _whose(clause: Clause, culled: set[int], many: int) -> int | None:
    """Which of several crops was thrown out in part: the one named last before, unless that could be any of them."""
    crops = [one for one in clause.spans("crop") if culled and one.start < min(culled)]
    if many == 1 or len(crops) < 2:
        return 0
    apart = range(crops[-1].end, min(culled))
    several = any(clause.sheet.is_mark(at, ",", ".", "(") or clause.sheet.within(at, "join.and") for at in apart)
    return None if several else len(crops) - 1


def _lacks(lot: Lot) -> tuple[str, ...]:
    missing = () if lot.crop else ("crop",)
    uncounted = lot.count is None and lot.weight_g is None
    return (*missing, "count") if uncounted or lot.conflict or (lot.vague and lot.weight_g is None) else missing


def _culled(clause: Clause) -> tuple[float | None, set[int]]:
    """The number thrown out while picking, and where it stands: the amount beside a word for throwing out."""
    words = clause.spans("cull")
    counted = amounts(clause)
    if not words or len(counted) < 2:
        return None, set()
    first = clause.spans("crop")[:1]
    others = [one for one in clause.spans("crop") if one.value != first[0].value]
    near = [
        (abs(one.start - word.start), one)
        for word in words
        for one in counted[1:]
        if not any(0 <= crop.start - one.end <= 1 for crop in others) and _beside(clause, one.start, word.start)
    ]
    if not near:
        return None, set()
    one = min(near, key=lambda pair: pair[0])[1]
    return one.value, {one.start}


def _beside(clause: Clause, amount: int, word: int) -> bool:
    between = clause.sheet.words[min(amount, word) : max(amount, word)]
    crops = [one for one in clause.spans("crop") if amount < one.start < word]
    return len(between) <= 7 and "." not in between and not crops


def loss(report: Report, told: Told) -> Iterator[Found]:
    """Lost or thrown out outside a harvest."""
    clause = report.clause
    reason = clause.first("reason")
    reasons = [one.value for one in _nearest(clause, clause.spans("reason")) if one.value != "other"]
    for lot in lots(clause):
        note = Loss(
            crop=lot.crop,
            count=None if lot.vague or lot.conflict else lot.count,
            reason=reasons[0] if reasons else reason,
            places=tuple(lot.places),
        )
        missing = () if lot.crop else ("crop",)
        if note.count is None:
            missing = (*missing, "count")
        if lot.rowless:
            missing = (*missing, "where")
        yield Found(note, missing, clause.start)


def _nearest(clause: Clause, reasons: list[Span]) -> list[Span]:
    """The reasons in the order of how near they stand to a crop or a number."""
    heads = [one.start for family in ("crop", "count") for one in clause.spans(family)]
    return sorted(reasons, key=lambda one: min((abs(one.start - head) for head in heads), default=0))


def sow(report: Report, told: Told) -> Iterator[Found]:
    """Seeds sown: plugs or whole trays; part of a tray is counted in its cells."""
    for lot in lots(report.clause):
        count, trays = _in_plugs(lot, told.sheet.vocabulary.tray_cells)
        missing = () if lot.crop else ("crop",)
        both = None not in (count, trays) and count != (trays or 0) * told.sheet.vocabulary.tray_cells
        if lot.conflict or lot.vague or both or (count is None and trays is None):
            missing = (*missing, "count")
        packet = told.sheet.whole().one("packet")
        yield Found(Sow(crop=lot.crop, count=count, trays=trays, packet=packet), missing, report.clause.start)


def _in_plugs(lot: Lot, cells: int) -> tuple[float | None, float | None]:
    if lot.trays is not None and lot.trays < 1:
        return lot.trays * cells, None
    return (None if lot.vague else lot.count), lot.trays


def stand(report: Report, told: Told) -> Iterator[Found]:
    """A germination count: "60 of 72 kale came up", "de los 36 de perejil nacieron 29"."""
    clause = report.clause
    counted = [one for one in amounts(clause) if one.unit in ("plugs", "heads", "trays", None)]
    numbers = [one.value for one in counted if one.unit != "trays"]
    up, of = _up_of(clause, numbers)
    crops = list(dict.fromkeys(one.value for one in clause.spans("crop")))
    if len(crops) > 1 and len(numbers) == 2 * len(crops):
        for crop, pair in zip(crops, zip(numbers[::2], numbers[1::2], strict=True), strict=True):
            yield Found(Stand(crop=crop, up=min(pair), of=max(pair)), (), clause.start)
        return
    crop = clause.one("crop")
    missing = () if crop else ("crop",)
    yield Found(Stand(crop=crop, up=up, of=of), missing if up is not None else (*missing, "count"), clause.start)


def _up_of(clause: Clause, numbers: list[float]) -> tuple[float | None, float | None]:
    distinct = list(dict.fromkeys(numbers))
    if not distinct:
        return None, None
    if len(distinct) == 1:
        return distinct[0], distinct[0] if len(numbers) > 1 else None
    if len(distinct) == 2:
        return min(distinct), max(distinct)
    return None, None


def move(report: Report, told: Told) -> Iterator[Found]:
    """Moved up a stage; places after "from" are where they came from, all others where they went."""
    clause = report.clause
    found = lots(clause)
    only = directions(clause)
    for lot in found:
        origin, to = only if len(found) == 1 else _split(lot, clause)
        note: Note = Move(
            crop=lot.crop,
            count=None if lot.vague else lot.count,
            trays=lot.trays,
            origin=origin or only[0],
            to=to or (only[1] if len(found) == 1 else ()),
        )
        missing = () if lot.crop else ("crop",)
        if lot.empty or lot.conflict or lot.vague:
            missing = (*missing, "count")
        if clause.has("rowless") and not to:
            missing = (*missing, "where")
        yield Found(note, missing, clause.start)


def _split(lot: Lot, clause: Clause) -> tuple[tuple[str, ...], tuple[str, ...]]:
    origin, _ = directions(clause)
    return tuple(one for one in lot.places if one in origin), tuple(one for one in lot.places if one not in origin)


def directions(clause: Clause) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The places of a move: those that plants came from, and those that they went to."""
    origin: list[str] = []
    to: list[str] = []
    for span in clause.spans("place"):
        if len(span.value) > 1 and _spans_way(clause, span):
            origin.append(span.value[0])
            to.append(span.value[-1])
            continue
        leads = _leads_on(clause, span)
        (origin if leads or _comes_from(clause, span.start) else to).extend(span.value)
    for span in clause.spans("cleanable", "towers"):
        if not any(one.start <= span.start < one.end for one in (*clause.spans("place"), *clause.spans("rowless"))):
            (origin if _comes_from(clause, span.start) else to).append("towers")
    return tuple(dict.fromkeys(origin)), tuple(dict.fromkeys(one for one in to if one != "towers" or len(to) == 1))


def _spans_way(clause: Clause, span: Span) -> bool:
    """ "from F1 to F2": no range, but where plants came from and went."""
    way = any(span.start < one.start < span.end for one in clause.spans("join.to"))
    return way and clause.sheet.within(span.start - 1, "join.from")


def _leads_on(clause: Clause, span: Span) -> bool:
    """ "shelf 3 to A1": the place before "to" another place is where it came from."""
    to = clause.sheet.at("join.to", span.end)
    return to is not None and any(one.start in (to.end, to.end + 1) for one in clause.spans("place"))


def _comes_from(clause: Clause, index: int) -> bool:
    """Whether a word for "from" stands just before, articles aside."""
    for back in (1, 2, 3):
        at = index - back
        if at < clause.start:
            return False
        if any(one.start <= at < one.end for one in clause.spans("join.from")):
            return True
        if not clause.sheet.within(at, "word.article", "word.under", "join.of"):
            return False
    return False


def gave(report: Report, told: Told) -> Iterator[Found]:
    """Produce handed over; without a crop of its own, the crop of the report before is meant."""
    clause = report.clause
    named = [one.value for one in told.sheet.marks.get("recipient", ()) if one.start < clause.start]
    to = clause.first("recipient") or (named[-1] if named else None)
    found = lots(clause)
    for lot in found:
        crop = lot.crop or (_only_crop(report.before) if report.before else None)
        missing = () if crop else ("crop",)
        if lot.conflict or (lot.weight_g is None and (lot.count is None or lot.vague)):
            missing = (*missing, "count")
        count = None if "count" in missing else lot.count
        yield Found(Gave(to=to, crop=crop, count=count, weight_g=lot.weight_g), missing, clause.start)


def _only_crop(before: Report) -> str | None:
    crop: str | None = before.clause.one("crop") if before.kind in ("harvest", "gave") else None
    if crop is None and before.kind == "gave" and before.before is not None and not before.clause.has("crop"):
        return _only_crop(before.before)
    return crop
