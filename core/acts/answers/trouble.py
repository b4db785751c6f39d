"""What is broken and not seen to yet."""

from __future__ import annotations

from core.acts.answers.shortened import shortened
from core.acts.picture import open_trouble
from core.acts.scene import Scene
from core.books import troubles
from core.notes import Ask
from core.outcome import Outcome, fact

MOST = 5


def trouble(_: Ask, scene: Scene) -> Outcome:
    """Every open trouble, the newest first: what, where, since when, who told of it and who sees to it."""
    found = [open_trouble(scene.ledger, one) for one in troubles.open_trouble(scene.ledger)]
    if not found:
        return Outcome((fact("trouble_none"),))
    said = [
        fact(
            "trouble_open_one", n=one.n or None, kind=one.kind, places=one.places, crop=one.crop, at=one.at,
            by=one.by, has=one.has,
        )
        for one in found
    ]  # fmt: skip
    shown, more = shortened(said, MOST)
    return Outcome((fact("trouble_open", troubles=shown, more=more),))
