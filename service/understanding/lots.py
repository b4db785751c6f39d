"""The crops of a clause, each with what was counted of it and where: numbers paired with crops and places."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

from service.understanding.amounts import GRAMS, PLANTS, Amount, amounts, same_unit
from service.understanding.each import from_each, of_each
from service.understanding.sheet import Clause, Sheet, Span


@dataclass(slots=True)
class Lot:
    """One crop with everything said of it."""

    crop: str | None = None
    count: float | None = None
    weight_g: float | None = None
    trays: float | None = None
    places: list[str] = field(default_factory=list)
    vague: bool = False
    conflict: bool = False
    rowless: bool = False

    @property
    def empty(self) -> bool:
        """Whether no amount was said."""
        return self.count is None and self.weight_g is None and self.trays is None


def lots(clause: Clause, skip: set[int] | None = None) -> list[Lot]:
    """The crops of a clause, each with its amounts and places; one lot without a crop when none is named.

    `skip` are starts of amounts that mean something else (culled ones, totals).
    """
    counted = [one for one in amounts(clause) if one.start not in (skip or set()) and _is_produce(clause.sheet, one)]
    counted = same_unit(clause.sheet, counted)
    crops = _crops(clause, counted)
    counted = _without_total(_without_talk(clause, counted, crops), crops)
    if len(crops) == 1:
        apart = _by_place(clause, crops[0], counted)
        if apart:
            return apart
    if len(crops) <= 1:
        lot = Lot(crops[0].value if crops else None)
        _fill(lot, clause, counted, crops[0] if crops else None)
        _place(lot, clause)
        if from_each(clause):
            said = [one.value for one in counted if one.unit in PLANTS]
            lot.count, lot.weight_g, lot.conflict = of_each(said, lot.count, lot.weight_g, len(lot.places))
        return [lot]
    return _paired(clause, crops, counted)


NOUNS = frozenset(
    {"crop", "unit", "adjective", "cull", "reason", "place", "cleanable", "supply", "word.filler", "scale", "recipient"}
)
"""What may follow on a number that counts plants; so may words that join, mend or say what was done."""


def _without_talk(clause: Clause, counted: list[Amount], crops: list[Span]) -> list[Amount]:
    """ "2 grandkids underfoot and still picked 14 butterhead": a number of another thing, before one of a crop's."""
    own = [one.start for one in counted if any(0 <= crop.start - one.end <= 2 for crop in crops)]
    return [one for one in counted if not (own and one.start < own[0] and _counts_other(clause.sheet, one))]


def _counts_other(sheet: Sheet, amount: Amount) -> bool:
    at = amount.end
    if amount.unit is not None or at >= len(sheet.tokens) or sheet.tokens[at].kind != "word":
        return False
    return not any(
        span.start <= at < span.end
        for family, spans in sheet.marks.items()
        if family in NOUNS or family.partition(".")[0] in ("act", "join", "correct", "vague")
        for span in spans
    )


def _without_total(counted: list[Amount], crops: list[Span]) -> list[Amount]:
    """ "40 heads, 25 butterhead and the other 15 romaine": one number more than crops, the sum of the others."""
    plants = [one for one in counted if one.unit in PLANTS]
    if len(crops) < 2 or len(plants) != len(crops) + 1 or plants[0].value != sum(one.value for one in plants[1:]):
        return counted
    return [one for one in counted if one is not plants[0]]


def _is_produce(sheet: Sheet, amount: Amount) -> bool:
    hour = sheet.before("time.before", amount.start) and sheet.within(amount.start - 1, "word.article")
    if amount.unit is None and hour:
        return False
    return amount.unit in PLANTS or amount.unit in GRAMS or amount.unit in ("trays", "plugs", "bags", "boxes")


def _crops(clause: Clause, counted: list[Amount]) -> list[Span]:
    """The crops named, one span each; the same crop said twice is one, unless each mention has its own number."""
    spans = clause.spans("crop")
    if len({one.value for one in spans}) < len(spans) and _each_counted(clause, spans, counted):
        return spans
    seen: dict[str, Span] = {}
    for span in spans:
        seen.setdefault(span.value, span)
    return sorted(seen.values(), key=lambda span: span.start)


def _each_counted(clause: Clause, spans: list[Span], counted: list[Amount]) -> bool:
    """Whether as many different numbers as mentions stand with them, each at a place of its own."""
    values = {one.value for one in counted if one.unit in PLANTS}
    return (
        len(values) == len(spans) == len([one for one in counted if one.unit in PLANTS]) == len(clause.spans("place"))
    )


def _by_place(clause: Clause, crop: Span, counted: list[Amount]) -> list[Lot]:
    """One crop with a number for each of several places ("8 from B4 and 7 from B5")."""
    plants = [one for one in counted if one.unit in PLANTS]
    places = clause.spans("place")
    if len(plants) < 2 or len(plants) != len(places) or clause.has("correct.mend") or any(one.vague for one in plants):
        return []
    order = [kind for _, kind in sorted([(one.start, "n") for one in plants] + [(one.start, "p") for one in places])]
    if order not in (["n", "p"] * len(plants), ["p", "n"] * len(plants)):
        return []
    return [
        Lot(crop.value, count=one.value, places=list(place.value)) for one, place in zip(plants, places, strict=True)
    ]


def _paired(clause: Clause, crops: list[Span], counted: list[Amount]) -> list[Lot]:
    leads = _amount_leads(crops, counted)
    edges = _edges(clause, crops, counted, leads)
    found: list[Lot] = []
    for crop, (start, end) in zip(crops, edges, strict=True):
        lot = Lot(crop.value)
        _fill(lot, clause, [one for one in counted if start <= one.start < end], crop)
        _place(lot, Clause(clause.sheet, start, end))
        found.append(lot)
    _place_all(clause, found, crops, counted)
    if len(counted) > 1 and from_each(clause) and any(len(lot.places) > 1 for lot in found):
        for lot in found:
            lot.conflict = True  # "6 romaine and 4 kale each from A1 and A2"
    if clause.has("join.each") and len(counted) == 1:
        for lot in found:
            _fill(lot, clause, counted, None)
    return found


def _place_all(clause: Clause, found: list[Lot], crops: list[Span], counted: list[Amount]) -> None:
    """ "F8: 6 mint 4 parsley": a place said before everything else is where all of it came from."""
    first = min([crops[0].start, *(one.start for one in counted)])
    places = clause.spans("place")
    all_from = any(one.end == place.start for one in clause.spans("word.all_of") for place in places[:1])
    if places and (all(one.end <= first for one in places) or all_from):
        for lot in found:
            _place(lot, clause)


def _amount_leads(crops: list[Span], counted: list[Amount]) -> bool:
    """Whether numbers come before their crops ("12 romaine") or after ("romaine 12")."""
    if not counted:
        return True
    if all(one.start > crops[0].start for one in counted):
        return False
    before = sum(any(0 <= crop.start - one.end <= 3 for one in counted) for crop in crops)
    after = sum(any(0 <= one.start - crop.end <= 1 for one in counted) for crop in crops)
    return before >= after


def _edges(clause: Clause, crops: list[Span], counted: list[Amount], leads: bool) -> list[tuple[int, int]]:
    """For each crop the stretch of the clause that is about it."""
    starts = [clause.start]
    for earlier, crop in pairwise(crops):
        own = [one.start for one in counted if earlier.end <= one.start < crop.start] if leads else []
        if not leads:
            own = [one.start for one in clause.spans("place") if earlier.end < one.start and one.end == crop.start]
            starts.append(own[0] if own else crop.start)
            continue
        starts.append(_lead_of(clause, own[-1], earlier) if own else crop.start)
    ends = [*starts[1:], clause.end]
    return list(zip(starts, ends, strict=True))


def _lead_of(clause: Clause, start: int, earlier: Span) -> int:
    """The place said just before the amount belongs with it only where places lead ("A3: 12 romaine, B2: 4 kale")."""
    first = clause.spans("place")
    told = [one.start for family in ("crop", "count") for one in clause.spans(family)]
    if first and first[0].end <= min(told):
        before = [one for one in first if earlier.end <= one.start and one.end <= start]
        if before:
            return before[-1].start
    return start


def _fill(lot: Lot, clause: Clause, counted: list[Amount], crop: Span | None) -> None:
    plants = [one for one in counted if one.unit in PLANTS or one.unit == "plugs"]
    lot.vague = any(one.vague for one in plants) or (not plants and clause.has("vague.count"))
    for one in counted:
        if one.unit in GRAMS:
            lot.weight_g = round((lot.weight_g or 0) + one.value * GRAMS[one.unit])
        elif one.unit == "trays":
            lot.trays = one.value
    if plants and not any(one.vague for one in plants):
        lot.count, lot.conflict = _settled(clause, plants, crop)
        lot.conflict = lot.conflict or not float(lot.count).is_integer()


def _settled(clause: Clause, plants: list[Amount], crop: Span | None) -> tuple[float, bool]:
    """The count meant when several were said: the mended one, or a total with its parts; else there is a conflict."""
    values = [one.value for one in plants]
    if len(set(values)) == 1:
        return values[0], False
    mended = _mended(clause, plants)
    if mended is not None:
        return mended, False
    for total in values:
        rest = list(values)
        rest.remove(total)
        if abs(sum(rest) - total) < 1e-9:
            return total, False
    return values[0], True


def _mended(clause: Clause, plants: list[Amount]) -> float | None:
    """The count that follows a word of correction inside the message ("12 no wait 14")."""
    for mend in reversed(clause.spans("correct.mend")):
        after = [one for one in plants if one.start >= mend.end]
        before = [one for one in plants if one.end <= mend.start]
        if after and before and len({one.value for one in after}) == 1 and not _is_denied(clause, mend):
            return after[-1].value
    return None


def _is_denied(clause: Clause, mend: Span) -> bool:
    """A word that also denies mends only where it stands alone between two numbers ("14 no 15")."""
    sheet = clause.sheet
    between = sheet.before("count", mend.start) is not None and sheet.at("count", mend.end) is not None
    if between and sheet.lexicon.language == "en" and mend.end == mend.start + 1 and sheet.at("answer", mend.start):
        return False
    return any(one.start == mend.start and one.end == mend.end for one in clause.spans("correct.denial"))


def _place(lot: Lot, clause: Clause) -> None:
    for span in _meant(clause, clause.spans("place")):
        lot.places.extend(one for one in span.value if one not in lot.places)
    lot.rowless = clause.has("rowless") and not lot.places


def _is_taken_back(sheet: Sheet, start: int) -> bool:
    """Whether a word that only denies stands before ("not A4"; after "A3, no" the other is meant)."""
    denial = sheet.before("correct.denial", start)
    return denial is not None and sheet.at("answer", denial.start) is None


def _meant(clause: Clause, places: list[Span]) -> list[Span]:
    """The places that stand after a word of correction, where others stand before it ("from E2, wait no, E3")."""
    told = [one for one in places if not _is_taken_back(clause.sheet, one.start)]
    if told and len(told) < len(places) and told[0].start < places[-1].start:
        return told  # "from A3, not A4"
    for mend in reversed(clause.spans("correct.mend")):
        after = [one for one in places if one.start >= mend.end]
        close = [one for one in places if 0 <= mend.start - one.end <= 1]
        if close and after and after[0].start - mend.end <= 3 and not _is_denied(clause, mend):
            return [one for one in places if one not in close]
    return places
