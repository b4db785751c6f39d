"""Produce handed over."""

from __future__ import annotations

from core.acts.scene import Scene
from core.books.tables import Delivery
from core.notes import Gave
from core.outcome import Outcome, fact

MUCH = 500
"""More heads or bunches than this at once are doubted. Common practice, no source."""


def gave(note: Gave, scene: Scene) -> Outcome:
    """A recipient was given so much of a crop."""
    given = {"crop": note.crop, "count": note.count, "weight_g": note.weight_g}
    if (note.count or 0) > MUCH and not scene.sure:
        return Outcome(doubts=(fact("doubt_much_given", given=given, to=note.to),))
    writing = scene.enter(note)
    writing.record(Delivery, recipient=note.to, crop=note.crop, count=note.count, weight_g=note.weight_g, on=scene.day)
    return Outcome((fact("gave", given=given, to=note.to),), entry=writing.n)
