"""The last look before a reading is handed on: is every figure and place of the text in one of its notes?

A figure of the trade that no note holds means that something was not understood; then it is asked, not recorded.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields

from core.notes import Note, Reading
from service.understanding.amounts import GRAMS, MILLILITRES, Amount, amounts
from service.understanding.each import from_each
from service.understanding.sheet import Clause, Sheet, Span
from service.understanding.water import measures

FIGURES = frozenset(
    {
        "heads",
        "bunches",
        "trays",
        "plugs",
        "percent",
        "packets",
        "boxes",
        "rolls",
        "us",
        "ms",
        "f",
        "c",
        *GRAMS,
        *MILLILITRES,
    }
)
"""Units that make a number a figure of the trade; others ("12 kids", "3 weeks") are talk."""


SHORT = 8
"""Words; in a text of so few every number tells something."""


COUNTED = frozenset({"harvest", "loss", "sow", "move", "gave", "reading", "added", "stock"})
"""Reports that hold a number."""


def unaccounted(sheet: Sheet, notes: Iterable[Note]) -> bool:
    """Whether the text holds a figure or a place that none of its notes does."""
    whole = sheet.whole()
    kept = list(notes)
    if any(note.act in ("correct", "ask", "announce") for note in kept):
        return False
    held = [value for note in kept for value in _numbers(note, sheet)]
    figures = [one for one in amounts(whole) if _is_figure(whole, one) and one.value not in held]
    gave = {note.act for note in kept} <= {"harvest", "gave"} and _took_part(whole)
    if gave and {one.value for one in whole.spans("recipient")} - {getattr(note, "to", None) for note in kept}:
        return True
    if any(note.act == "calibrated" for note in kept):
        figures = [one for one in figures if one.unit is not None]  # the numbers of buffers
    short = sum(token.kind == "word" for token in sheet.tokens) <= SHORT
    if short and all(note.act in COUNTED and getattr(note, "state", None) not in ("low", "out") for note in kept):
        figures = [one for one in amounts(whole) if _is_figure(whole, one) or _stands_plain(whole, one)]
    lost = [one for one in figures if not any(_same(one, value) for value in held) and not _is_mended(whole, one)]
    poured = [one.value * MILLILITRES[one.unit] for one in figures if one.unit in MILLILITRES]
    if any(poured.count(one) > sum(abs(one - value) < 1 for value in held) > 0 for one in poured):
        return True
    if lost and not _adds_up(lost, held):
        return True
    if _unread(whole, kept):
        return True
    if any(note.act == "stand" for note in kept):
        return False
    return not whole.has("correct.mend") and bool(_codes(whole) - {code for note in kept for code in _places(note)})


def _unread(clause: Clause, kept: list[Note]) -> bool:
    """Whether a measure with a number beside it is in none of the notes."""
    read = {getattr(note, "measure", None) for note in kept}
    parts = [one for one in clause.spans("fraction") if not _measures_out(clause, one)]
    if parts and clause.has("tank") and "level" not in read:
        return True
    return any(
        not span.value.endswith("temp") and span.value not in read
        for span in measures(clause)
        if any(0 <= one.start - span.end <= 2 for one in clause.spans("count"))
    )


def _measures_out(clause: Clause, part: Span) -> bool:
    """Whether a fraction is one of something that is counted ("half a gallon")."""
    return any(clause.sheet.at(one, part.end) for one in ("unit", "join.of", "scale", "crop", "supply"))


def _took_part(clause: Clause) -> bool:
    """Whether somebody who gets produce is named and something was got or given, so that it may be no harvest."""
    return clause.has("took") or clause.has("act.gave")


def _is_mended(clause: Clause, amount: Amount) -> bool:
    """Whether a figure is taken back: denied, or followed by a word of correction and another figure."""
    if clause.sheet.before("correct.denial", amount.start):
        return True
    after = [one for one in amounts(clause) if one.start >= amount.end]
    return any(amount.end <= mend.start <= one.start for one in after for mend in clause.spans("correct.mend"))


def _is_figure(clause: Clause, amount: Amount) -> bool:
    article = clause.sheet.at("glue", amount.start) is not None  # "dropped a tray"
    named = clause.sheet.at("crop", amount.end) is not None
    decimal = not amount.value.is_integer() or "." in clause.sheet.words[amount.start]
    plain = amount.unit is None and (named or decimal)
    return not article and not amount.vague and (amount.unit in FIGURES or plain)


def _stands_plain(clause: Clause, amount: Amount) -> bool:
    """A number in digits without a unit."""
    return amount.unit is None and not amount.vague and clause.sheet.number_like(amount.start)


def _numbers(note: Note, sheet: Sheet) -> Iterator[float]:
    for slot in fields(note):
        value = getattr(note, slot.name)
        if isinstance(value, int | float) and not isinstance(value, bool):
            yield float(value)
            if slot.name in ("count", "weight_g") and from_each(sheet.whole()):
                yield value / max(1, len(getattr(note, "places", ())), len(getattr(note, "to", None) or ()))
            if isinstance(note, Reading) and note.measure in ("water_temp", "air_temp"):
                yield value * 1.8 + 32


def _same(amount: Amount, value: float) -> bool:
    """Whether a figure is a note's value in some unit."""
    factor = GRAMS.get(amount.unit or "") or MILLILITRES.get(amount.unit or "") or 1.0
    written = (
        amount.value,
        amount.value * factor,
        amount.value / 1000,
        amount.value * 72,
        amount.value * 60,
        amount.value * 100,
    )
    return any(abs(one - value) <= max(0.1, 0.002 * abs(value)) for one in written)


def _adds_up(lost: list[Amount], held: list[float]) -> bool:
    """A sum of what was said ("2 lb 4 oz"), or a total with its parts ("3 trays: 2 and 1")."""
    grams = sum(one.value * GRAMS.get(one.unit or "", 1.0) for one in lost)
    total = sum(held)
    weighed = any(one.unit in GRAMS for one in lost)
    return (weighed and any(abs(grams - value) <= 1 for value in held)) or any(one.value == total for one in lost)


def _codes(clause: Clause) -> set[str]:
    places = clause.spans("place")
    left = {code for one in places if _left_out(clause, one) for code in one.value}
    return {code for one in places for code in one.value} - left


def _left_out(clause: Clause, place: Span) -> bool:
    """ "all but A3", "none on C4", "still have to do A2": a place of which nothing is told."""
    ahead = [(one.end, 1) for family in ("except", "word.nil", "word.due") for one in clause.spans(family)]
    ahead += [(one.end, 2) for one in clause.spans("hedge.plan") if one.end - one.start > 1]
    return any(0 <= place.start - end <= apart for end, apart in ahead)


def _places(note: Note) -> Iterator[str]:
    for name in ("places", "origin", "to", "where", "place"):
        value = getattr(note, name, None)
        if isinstance(value, str):
            yield value
        elif value:
            yield from value
