"""The last look before a reading is handed on: is every figure and place of the text in one of its notes?

A figure of the trade that no note holds means that something was not understood; then it is asked, not recorded.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields

from core.notes import Note, Reading
from service.understanding.amounts import GRAMS, MILLILITRES, Amount, amounts
from service.understanding.sheet import Clause, Sheet

FIGURES = frozenset({"heads", "bunches", "trays", "plugs", "percent", "f", "c", *GRAMS, *MILLILITRES})
"""Units that make a number a figure of the trade; others ("12 kids", "3 weeks") are talk."""


def unaccounted(sheet: Sheet, notes: Iterable[Note]) -> bool:
    """Whether the text holds a figure or a place that none of its notes does."""
    whole = sheet.whole()
    kept = list(notes)
    if whole.has("correct.mend") or any(note.act in ("correct", "ask", "announce") for note in kept):
        return False
    held = [value for note in kept for value in _numbers(note, sheet)]
    figures = [one for one in amounts(whole) if _is_figure(whole, one) and one.value not in held]
    lost = [one for one in figures if not any(_same(one, value) for value in held)]
    return (not _adds_up(lost, held) and bool(lost)) or bool(
        _codes(whole) - {code for note in kept for code in _places(note)}
    )


def _is_figure(clause: Clause, amount: Amount) -> bool:
    article = clause.sheet.at("glue", amount.start) is not None  # "dropped a tray"
    named = clause.sheet.at("crop", amount.end) is not None
    plain = amount.unit is None and (named or not amount.value.is_integer())
    return not article and not amount.vague and (amount.unit in FIGURES or plain)


def _numbers(note: Note, sheet: Sheet) -> Iterator[float]:
    for slot in fields(note):
        value = getattr(note, slot.name)
        if isinstance(value, int | float) and not isinstance(value, bool):
            yield float(value)
            if isinstance(note, Reading) and note.measure in ("water_temp", "air_temp"):
                yield value * 1.8 + 32


def _same(amount: Amount, value: float) -> bool:
    """Whether a figure is a note's value in some unit."""
    factor = GRAMS.get(amount.unit or "") or MILLILITRES.get(amount.unit or "") or 1.0
    written = (amount.value, amount.value * factor, amount.value / 1000, amount.value * 72)
    return any(abs(one - value) <= max(0.1, 0.002 * abs(value)) for one in written)


def _adds_up(lost: list[Amount], held: list[float]) -> bool:
    """A sum of what was said ("2 lb 4 oz"), or a total with its parts ("3 trays: 2 and 1")."""
    grams = sum(one.value * GRAMS.get(one.unit or "", 1.0) for one in lost)
    total = sum(held)
    return any(abs(grams - value) <= 1 for value in held) or any(one.value == total for one in lost)


def _codes(clause: Clause) -> set[str]:
    return {code for one in clause.spans("place") for code in one.value}


def _places(note: Note) -> Iterator[str]:
    for name in ("places", "origin", "to", "where", "place"):
        value = getattr(note, name, None)
        if isinstance(value, str):
            yield value
        elif value:
            yield from value
