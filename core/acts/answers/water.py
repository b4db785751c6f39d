"""What was measured, and whether it is as it should be."""

from __future__ import annotations

import math
from collections.abc import Sequence

from core.acts.picture import judged
from core.acts.scene import Scene
from core.books import water
from core.calendar import bounds
from core.day import Judged
from core.notes import TANK_MEASURES, Ask
from core.outcome import Fact, Outcome, fact
from core.readings import alarming

DAILY = ("ph", "ec")


def reading(note: Ask, scene: Scene) -> Outcome:
    """The newest reading, or a day's last: of the measure and tank asked about, else of what is read every day."""
    found = judged(scene.ledger, _readings(note, scene))
    if not found:
        return Outcome((fact("no_reading", measure=note.measure, where=_where(note.where), day=note.date),))
    cautions = tuple(fact(f"caution_{one.measure}") for one in found if alarming(one.measure, one.value))
    if len(found) > 2:
        return Outcome((fact("readings", readings=tuple(map(short, found))),), cautions)
    return Outcome(tuple(map(_long, found)), cautions)


def _readings(note: Ask, scene: Scene) -> Sequence[water.Read]:
    measures = (note.measure,) if note.measure else DAILY
    tanks = (note.where,) if note.where in scene.vocabulary.tanks else tuple(scene.vocabulary.tanks)
    found = []
    for measure in measures:
        for where in tanks if measure in TANK_MEASURES else ("room",):
            one = _one(note, scene, measure, str(where))
            found += [one] if one else []
    return found


def _one(note: Ask, scene: Scene, measure: str, where: str) -> water.Read | None:
    if note.date is None:
        return water.latest(scene.ledger, measure, where)
    start, end = bounds(note.date, note.date, scene.vocabulary.zone)
    last = water.latest(scene.ledger, measure, where, before=end)
    return last if last is not None and last.at >= start else None


def _long(one: Judged) -> Fact:
    return fact(
        f"read_{one.verdict}",
        reading=quantity(one.measure, one.value),
        where=_where(one.where),
        at=one.at,
        who=one.by,
        low=quantity(one.measure, one.wanted.low),
        high=quantity(one.measure, one.wanted.high),
    )


def short(one: Judged) -> Fact:
    """A reading in a few words: where, what, and whether it is low or high."""
    verdict = f"read_{one.verdict}" if one.verdict != "fine" else None
    return fact("read_short", reading=quantity(one.measure, one.value), where=_where(one.where), verdict=verdict)


def quantity(measure: str, value: float) -> dict[str, object] | None:
    """A value with its measure as the words room takes it; None for a side that is open."""
    return {"measure": measure, "value": value} if math.isfinite(value) else None


def _where(where: str | None) -> str | None:
    return None if where == "room" else where
