"""What was picked, and what was given away."""

from __future__ import annotations

from core.acts.answers.shifts import when
from core.acts.answers.shortened import shortened
from core.acts.scene import Scene
from core.books import harvests
from core.books.harvests import Amount
from core.calendar import Days, asked_days
from core.notes import Ask
from core.outcome import Outcome, fact

MOST_CROPS = 5


def harvest(note: Ask, scene: Scene) -> Outcome:
    """What was cut in a period (this week, where none is named), of one crop or all."""
    days = asked_days(note, scene.day, "week")
    return _total("cut", note, days, harvests.cuts(scene.ledger, days.first, days.last, note.crop))


def given(note: Ask, scene: Scene) -> Outcome:
    """What was given away in a period (this month, where none is named), of one crop or all."""
    days = asked_days(note, scene.day, "month")
    return _total("given", note, days, harvests.given(scene.ledger, days.first, days.last, note.crop))


def _total(done: str, note: Ask, days: Days, found: list[Amount]) -> Outcome:
    if not found:
        return Outcome((fact(f"none_{done}", crop=note.crop, **when(days)),))
    amounts = [amount for one in found for amount in _said(one)]
    shown, more = shortened(amounts, MOST_CROPS)
    return Outcome((fact(f"total_{done}", amounts=shown, more=more, **when(days)),))


def _said(one: Amount) -> list[dict[str, object]]:
    """What was counted, and beside it what was only weighed."""
    counted = [{"crop": one.crop, "count": one.count}] if one.count else []
    return [*counted, {"crop": one.crop, "weight_g": one.weight_g}] if one.weight_g else [*counted]
