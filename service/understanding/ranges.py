"""What a coordinator says of the range of a measure: "main ph range 5.6 to 6.2", "main ph range as the crops want"."""

from __future__ import annotations

from core.notes import TANK_MEASURES, Ask, SetRange
from service.understanding.amounts import Amount
from service.understanding.found import Found, Told
from service.understanding.numbers import plain_number
from service.understanding.sheet import Clause
from service.understanding.water import in_units, measures, tank_near

LONGEST = 14
"""Tokens; a longer text tells a story."""

LONGEST_ALONE = 5
JOINED = ("join.range", "join.to", "join.and", "unit", "greeting")


def ranged(told: Told) -> list[Found] | None:
    """The note of a text that sets a range, or names one and no more; None when it is no such text."""
    whole = told.sheet.whole()
    named = {one.value for one in measures(whole)}
    asks = "?" in whole.words or whole.has("ask.mark") or whole.has("crop")
    if len(named) != 1 or len(whole.words) > LONGEST or asks:
        return None
    measure = _measure(str(named.pop()), whole)
    where = tank_near(whole, whole.start, told.sheet) if measure in TANK_MEASURES else None
    figures = _figures(whole)
    if not figures and len(whole.words) <= LONGEST_ALONE and not whole.has("range", "usual"):
        about = "trend" if whole.has("ask.trend") else "range" if whole.has("range", "word") else None
        return [Found(Ask(about=about, measure=measure, where=where))] if about else None
    if not whole.has("range", "word") or not (
        _are_ends(figures, whole) or (not figures and whole.has("range", "usual"))
    ):
        return None
    low, high = (in_units(measure, one, told) for one in figures) if figures else (None, None)
    note = SetRange(measure=measure, where=where, low=low, high=high, usual=None if figures else True)
    missing = ("where",) if where is None and measure in TANK_MEASURES else ()
    return [Found(note, missing, whole.start)]


def _measure(named: str, whole: Clause) -> str:
    """A bare "temp" is the water's beside a tank, else the air's."""
    if named != "temp":
        return named
    return "water_temp" if whole.has("tank") or whole.has("thing", "water", "tank") else "air_temp"


def _figures(whole: Clause) -> list[Amount]:
    """The numbers typed in digits, each with its unit; one said once behind both holds for both."""
    found = []
    for at in range(whole.start, whole.end):
        token = whole.sheet.tokens[at]
        value = plain_number(token.text) if token.kind == "number" else None
        if value is not None and not whole.sheet.within(at, "place", "rowless"):
            unit = whole.sheet.at("unit", at + 1) or next(iter(whole.spans("unit")), None)
            found.append(Amount(at, at + 1, value, unit.value if unit else None))
    return found


def _are_ends(figures: list[Amount], whole: Clause) -> bool:
    """Whether there are two figures with nothing but "to" or a dash between them, behind the word for a range."""
    if len(figures) != 2 or figures[0].start < whole.spans("range", "word")[0].start:
        return False
    between = range(figures[0].end, figures[1].start)
    return all(whole.sheet.tokens[at].kind == "mark" or whole.sheet.within(at, *JOINED) for at in between)
