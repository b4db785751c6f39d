"""What is asked to be reckoned: how to reach a pH or EC, sums about air and light; and a calibration to be led through.

These are read before everything else, for they hold figures that are no reports ("main ec 1.1 want 1.6").
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from core.notes import Calibrate, Reading, Reckon, Want
from service.understanding.amounts import Amount
from service.understanding.dosing import items_of
from service.understanding.found import Found, Told
from service.understanding.numbers import plain_number
from service.understanding.sheet import Clause, Span
from service.understanding.water import in_units, measures, tank_near

DOSED = ("ph", "ec")
LONGEST = 24
"""Tokens; a longer text tells a story, and such a figure is part of it."""

NEAR = 2
"""Tokens between a word that asks for a figure and the figure."""


def summed(told: Told) -> list[Found] | None:
    """The notes of a text that asks for a sum or a calibration; None when it is no such text."""
    whole = told.sheet.whole()
    if len(told.sheet.tokens) > LONGEST or whole.has("crop") or whole.has("correct.mend"):
        return None
    return _reckoned(whole, told) or _led(whole) or _wanted(whole, told)


def _wanted(whole: Clause, told: Told) -> list[Found] | None:
    """ "main ec 1.1 want 1.6" is a reading and a question; "raise main ec to 1.6" a question."""
    measure = _measure(whole)
    if measure is None:
        return None
    figures = list(_typed(whole))
    goal = next((one for one in whole.spans("want", "goal") if _after(one, figures)), None)
    if goal is not None:
        wanted = _after(goal, figures)
        before = [one for one in figures if one.end <= goal.start]
        now = before[-1] if before else None
        asked = now is not None or whole.has("ask.mark") or whole.has("ask.much")
        return _asked(measure, wanted, now, whole, told, reads=now is not None) if asked and wanted else None
    way = _told_to(whole)
    if way is None:
        return None
    now = next((one for one in figures if _before("from", one, whole)), None)
    wanted = next((one for one in reversed(figures) if one is not now and not _before("by", one, whole)), None)
    if now and wanted and way != "move" and (wanted.value > now.value) != (way == "up"):
        wanted = None  # "raise ph to 5.5 from 6.2": one of the two is not what was meant
    return _asked(measure, wanted, now, whole, told, reads=False)


def _typed(whole: Clause) -> Iterator[Amount]:
    """Every number typed in digits, one by one: "de 1.1 a 1.6" is no range here."""
    for at in range(whole.start, whole.end):
        token = whole.sheet.tokens[at]
        value = plain_number(token.text) if token.kind == "number" else None
        if value is not None and not whole.sheet.within(at, "place", "rowless"):
            unit = whole.sheet.at("unit", at + 1)
            yield Amount(at, at + 1, value, unit.value if unit else None)


def _measure(whole: Clause) -> str | None:
    """The pH or the EC, where just one of them is named; nutrients stand for the EC."""
    named = {one.value for one in measures(whole)} - {"level"}
    poured = {item for _, _, item in items_of(whole)} & {"nutrient_a", "nutrient_b"}
    if not named and (poured or whole.has("thing", "nutrient")):
        return "ec"
    return named.pop() if len(named) == 1 and named <= set(DOSED) else None


def _after(goal: Span, figures: list[Amount]) -> Amount | None:
    return next((one for one in figures if 0 <= one.start - goal.end <= NEAR), None)


def _told_to(whole: Clause) -> str | None:
    """Whether the text begins, greetings and words that ask aside, by telling us to raise ("up") or lower something."""
    verbs = whole.spans("want", "up", "down", "move")
    if not verbs:
        return None
    return str(verbs[0].value) if _leads(whole, verbs[0]) else None


def _leads(whole: Clause, verb: Span) -> bool:
    """Whether nothing stands before a verb but greetings, names and words that ask."""
    families = ("greeting", "ask.mark", "ask.much", "ask_lead", "who", "word.filler", "want")
    before = range(whole.start, verb.start)
    return all(whole.sheet.tokens[at].kind == "mark" or whole.sheet.within(at, *families) for at in before)


def _before(word: str, figure: Amount, whole: Clause) -> bool:
    """Whether a figure stands after "from" (what it reads now) or "by" (a difference, no figure to reach)."""
    span = whole.sheet.before("want", figure.start)
    return span is not None and span.value == word


def _asked(
    measure: str, wanted: Amount | None, now: Amount | None, whole: Clause, told: Told, *, reads: bool
) -> list[Found]:
    where = tank_near(whole, whole.start, told.sheet) or _only(tuple(told.sheet.vocabulary.tanks))
    reading = in_units(measure, now, told) if now else None
    value = in_units(measure, wanted, told) if wanted else None
    missing = (*(("value",) if value is None else ()), *(("where",) if where is None else ()))
    note = Want(measure=measure, value=value, where=where, now=reading)
    read = Reading(measure=measure, value=reading, where=where)
    first = [Found(read, ("where",) if where is None else (), whole.start)] if reads else []
    return [*first, Found(note, missing, whole.start)]


def _only(tanks: tuple[str, ...]) -> str | None:
    return tanks[0] if len(tanks) == 1 else None


def _led(whole: Clause) -> list[Found] | None:
    """ "calibrate main ph" wants to be led; told of the past, for later or with figures it is something else."""
    begun = whole.spans("want", "calibrate")
    timed = any(whole.has(one) for one in ("relday", "day", "time.week", "time.next", "part", "clock"))
    planned = any(one.start >= begun[0].end for one in whole.spans("hedge.plan")) if begun else False
    if not begun or timed or planned or whole.has("count") or whole.has("task", "done"):
        return None
    if not _leads(whole, begun[0]):
        return None
    measure = _only(tuple({one.value for one in measures(whole)}))
    tanks = {one.value for one in whole.spans("tank")}
    where = _only(tuple(tanks)) or _only(tuple(whole.sheet.vocabulary.tanks))
    missing = (*(("what",) if measure is None else ()), *(("where",) if where is None else ()))
    return [Found(Calibrate(measure=measure, where=where), missing, whole.start)]


FIGURE = re.compile(
    r"(?<![\w.])(\d+(?:[.,]\d+)?)\s*(°?\s*[fc]\b|%|h(?:ou)?rs?\b|h\b|horas?\b|umol\w*|ppfd|par\b|k?w(?:atts?)?\b|mols?\b|moles\b)?"
)


@dataclass(frozen=True, slots=True)
class _Figure:
    """A number with the first letters of its unit ("" for none), and where it begins in the text."""

    value: float
    unit: str
    at: int


def _figures(text: str) -> Iterator[_Figure]:
    for match in FIGURE.finditer(text.casefold()):
        yield _Figure(float(match[1].replace(",", ".")), (match[2] or "").strip(" °"), match.start())


def _reckoned(whole: Clause, told: Told) -> list[Found] | None:
    """ "vpd at 72f 60%", "dli 250 for 16h", "hours for dli 15 at 250", "lamp heat 400 w"."""
    spans = whole.spans("reckon")
    if not spans:
        return None
    figures = list(_figures(told.sheet.text))
    about = str(spans[0].value)
    if about in ("vpd", "dew_point"):
        return [Found(_air(about, figures, told))]
    if about == "lamp_heat":
        kilo = {"k": 1000.0}
        watts = [one.value * kilo.get(one.unit[:1], 1.0) for one in figures if one.unit[:1] in ("w", "k", "")]
        return [Found(Reckon(about=about, watts=watts[0] if watts else None))]
    return [Found(_light(figures))]


def _air(about: str, figures: list[_Figure], told: Told) -> Reckon:
    humidity = [one.value for one in figures if one.unit == "%"]
    temps = [_celsius(one, told) for one in figures if one.unit in ("f", "c", "")]
    if not humidity and len(figures) >= 2 and not figures[-1].unit:
        humidity, temps = [figures[-1].value], temps[:-1]
    return Reckon(
        about=about,
        air_c=temps[0] if temps else None,
        humidity=humidity[0] if humidity else None,
        wall_c=temps[1] if len(temps) > 1 and about == "dew_point" else None,
    )


def _celsius(figure: _Figure, told: Told) -> float:
    return in_units("air_temp", Amount(0, 0, figure.value, figure.unit or None), told)


def _light(figures: list[_Figure]) -> Reckon:
    """With hours said the light of a day; else the hours for a wanted one: the smaller bare figure is the moles."""
    hours = [one.value for one in figures if one.unit[:1] == "h"]
    others = [one for one in figures if one.unit[:1] != "h"]
    if hours or len(others) < 2:
        return Reckon(about="dli", ppfd=others[0].value if others else None, hours=hours[0] if hours else None)
    moles = min(others, key=lambda one: (one.unit[:3] != "mol", one.value))
    ppfd = next(one for one in others if one is not moles)
    return Reckon(about="light_hours", dli=moles.value, ppfd=ppfd.value)
