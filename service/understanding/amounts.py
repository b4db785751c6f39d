"""Numbers with their units, as they were said."""

from __future__ import annotations

from dataclasses import dataclass, replace

from service.understanding.numbers import Quantity
from service.understanding.sheet import Clause, Sheet, Span

GRAMS = {"lb": 453.592, "oz": 28.3495, "kg": 1000.0, "g": 1.0}
"""Grams in a unit of weight. Source: NIST Handbook 44, appendix C (avoirdupois pound and ounce)."""

MILLILITRES = {"ml": 1.0, "l": 1000.0, "gal": 3785.0, "floz": 29.6, "cup": 237.0, "tsp": 5.0, "tbsp": 15.0}
"""Millilitres in a unit of volume, US customary, rounded as kitchens and labels do."""

PLANTS = frozenset({"heads", "bunches", None})


@dataclass(frozen=True, slots=True)
class Amount:
    """A number as said with its unit (a meaning of the unit table, None for none)."""

    start: int
    end: int
    value: float
    unit: str | None
    vague: bool = False
    said: str | None = None


def amounts(clause: Clause) -> list[Amount]:
    """The numbers of a clause with their units, in order."""
    found: list[Amount] = []
    for span in clause.spans("count"):
        amount = _with_unit(clause.sheet, span)
        if found and found[-1].end >= amount.end:
            continue  # "an hour and a half": the half is in it already
        unit = _unit_before_half(clause.sheet, amount)
        if unit is None:
            found.append(amount)
            continue
        said = clause.sheet.words[unit.start]
        found.append(Amount(unit.start, amount.end, 1.0 + amount.value, unit.value, amount.vague, said))
    return found


def _unit_before_half(sheet: Sheet, amount: Amount) -> Span | None:
    """ "a tray and a half", "bandeja y media": the unit that a half said after it is a half of."""
    if amount.unit is not None or amount.value not in (0.5, 0.25):
        return None
    for start in range(max(0, amount.start - 2), amount.start + 1):
        glue = sheet.at("glue", start)
        if glue is not None and glue.value in ("plus_half", "plus_quarter") and glue.end >= amount.end:
            return sheet.before("unit", start)
    return None


def _with_unit(sheet: Sheet, span: Span) -> Amount:
    quantity: Quantity = span.value
    unit = sheet.at("unit", span.end)
    if unit is None and sheet.at("adjective", span.end):
        unit = sheet.at("unit", span.end + 1)
    before = sheet.before("unit", span.start)
    if unit is None and before is not None and before.value == "years" and sheet.words[before.start] == "$":
        unit = before
    if (
        unit is not None
        and unit.value in ("l", "g", "f", "c")
        and sheet.tokens[unit.start].text in ("l", "g", "f", "c")
    ):
        unit = unit if _is_letter_unit(sheet, unit) else None
    if unit is None or (sheet.words[unit.start] == "x" and sheet.tokens[unit.start].glued):  # "12x romaine"
        return Amount(span.start, span.end if unit is None else unit.end, quantity.value, None, quantity.vague)
    end = max(unit.end, span.end)
    value, end = _and_half(sheet, quantity.value, end)
    return Amount(span.start, end, value, unit.value, quantity.vague, sheet.words[unit.start])


def _is_letter_unit(sheet: Sheet, unit: Span) -> bool:
    """A letter is a unit when nothing makes it the row of a place ("4 C5")."""
    return unit.end >= len(sheet.tokens) or not (sheet.number_like(unit.end) and sheet.tokens[unit.end].glued)


def _and_half(sheet: Sheet, value: float, end: int) -> tuple[float, int]:
    """ "an hour and a half", "dos horas y cuarto"."""
    minutes = sheet.tokens[end].text if sheet.number_like(end) and sheet.tokens[end].glued else ""
    if minutes.isdigit() and len(minutes) == 2 and sheet.words[end - 1] == "h":
        return round(value + int(minutes) / 60, 6), end + 1
    glue = sheet.at("glue", end) or sheet.at("glue", end - 1)  # a unit's phrase may have taken the "and"
    if glue is not None and glue.value in ("plus_half", "plus_quarter"):
        return value + (0.5 if glue.value == "plus_half" else 0.25), glue.end
    return value, end


def same_unit(sheet: Sheet, counted: list[Amount]) -> list[Amount]:
    """ "1 tray of kale and 2 of romaine": a bare number before "of" has the unit of the number before it."""
    found: list[Amount] = []
    for one in counted:
        if (
            one.unit is None
            and found
            and found[-1].unit in ("trays", *GRAMS, *MILLILITRES)
            and sheet.at(
                "join.of", one.end + (sheet.at("adjective", one.end) is not None and not sheet.at("join.of", one.end))
            )
        ):
            one = replace(one, unit=found[-1].unit)
        found.append(one)
    return found
