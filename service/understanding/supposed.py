"""Questions that suppose something: "what if row C is out next month?". They are about the plan, and nothing in them is
recorded, whatever it sounds like.
"""

from __future__ import annotations

from calendar import monthrange
from datetime import date, timedelta

from core.notes import WhatIf
from service.understanding.amounts import amounts
from service.understanding.found import Found, Told
from service.understanding.sheet import Clause
from service.understanding.times import said_day, said_period

OPENINGS = ("greeting", "who", "ask_lead")

TIMES = {"double": 2.0, "triple": 3.0, "half": 0.5}
"""How much more or less a word for it means."""

NEXT_WEEK = ("next_week", "week")


def supposed(told: Told) -> list[Found] | None:
    """The question of a text that supposes a change; None when it is no such text."""
    whole = told.sheet.whole()
    opening = _opening(whole)
    if opening is None:
        return None
    change = _change(whole)
    if change is None and opening == "weak":
        return None  # "y si, ahi estare" says yes
    return [Found(_note(change, whole, told))]


def _opening(whole: Clause) -> str | None:
    """How surely the text begins like a supposition, greetings aside: "yes", or "weak" where a change must follow."""
    index = whole.start
    while index < whole.end:
        found = whole.sheet.at("suppose", index)
        if found is not None:
            return str(found.value)
        opening = next((one for family in OPENINGS if (one := whole.sheet.at(family, index))), None)
        marked = whole.sheet.tokens[index].kind == "mark"
        if opening is None and not marked:
            return None
        index = opening.end if opening else index + 1
    return None


def _change(whole: Clause) -> str | None:
    """What is supposed; the clearest word first."""
    kinds = [one.value for one in whole.spans("supposed")]
    for kind in ("new", *TIMES, "lost"):
        if kind in kinds:
            return kind
    if "closed" in kinds or whole.has("closed"):
        return "closed"
    placed = any(whole.has(one) for one in ("place", "rowless"))
    return "out" if placed and ("out" in kinds or whole.has("broken") or whole.has("use", "out")) else None


def _note(change: str | None, whole: Clause, told: Told) -> WhatIf:
    crop = whole.one("crop")
    if change is None:
        return WhatIf()
    if change in TIMES:
        return WhatIf(change="times", crop=crop, times=TIMES[change])
    if change == "new":
        counted = [one for one in amounts(whole) if not one.vague]
        behind = Clause(whole.sheet, whole.spans("supposed", "new")[0].end, whole.end).text.casefold()
        return WhatIf(change="new", name=behind, count=counted[0].value if len(counted) == 1 else None)
    first, last = _days(whole, told)
    if change == "closed":
        return WhatIf(change="closed", first=first, last=last)
    codes = tuple(code for one in whole.spans("place") for code in one.value)
    row = None if codes else _row(whole)
    if change == "lost":
        return WhatIf(change="lost", crop=crop, places=codes, row=row)
    return WhatIf(change="out", places=codes, row=row, first=first, last=last)


def _row(whole: Clause) -> str | None:
    """The row that is named as a whole ("row C")."""
    letters = [str(one.value).upper() for one in whole.spans("rowless")]
    return next((one for one in letters if one in whole.sheet.vocabulary.tower_rows), None)


def _days(whole: Clause, told: Told) -> tuple[date | None, date | None]:
    """The first and the last day that are meant; None and None where nothing is said."""
    today = told.sent.date()
    if whole.has("suppose_when", "next_month"):
        first = (today.replace(day=28) + timedelta(days=4)).replace(day=1)
        return first, first.replace(day=monthrange(first.year, first.month)[1])
    period = said_period(whole)
    if period in NEXT_WEEK:
        monday = today + timedelta(days=(7 if period == "next_week" else 0) - today.weekday())
        return max(monday, today), monday + timedelta(days=6)
    day = said_day(whole, told.sent, False)
    return (day, day) if day else (None, None)
