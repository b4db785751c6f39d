"""Where a measure is heading, and the range it should be in."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from core.acts.ranges import range_values
from core.acts.scene import Scene
from core.acts.trends import Heading, heading
from core.books import water
from core.notes import TANK_MEASURES, Ask
from core.outcome import Fact, Outcome, fact
from core.readings.ranges import Wanted
from core.trends import LEAST_DAYS

ASKED = ("ph", "ec")
"""What a question about a tank is about where it names no measure."""


def trend(note: Ask, scene: Scene) -> Outcome:
    """How the measure and tank asked about are doing; of each tank where none is named."""
    found = tuple(heading(scene.ledger, measure, place, wanted, scene.told.said_at, scene.vocabulary.zone)
                  for measure, place, wanted in _asked(note, scene))  # fmt: skip
    told = tuple(trend_fact(one, scene.day) for one in found if one.line is not None or len(found) == 1)
    short = tuple(fact("trend_where", **_place(one)) for one in found if one.line is None)
    if short and len(found) > 1:
        told = (*told, fact("trends_short", places=short, least=LEAST_DAYS))
    return Outcome((fact("trend", trends=told),))


def wanted(note: Ask, scene: Scene) -> Outcome:
    """The range that is wanted, and which crop sets which end."""
    ranges = tuple(range_values(*one) for one in _asked(note, scene))
    if len(ranges) == 1:
        return Outcome((fact("range_told", **ranges[0]),))
    return Outcome((fact("ranges_told", ranges=tuple(fact("range_one", **one) for one in ranges)),))


def _asked(note: Ask, scene: Scene) -> Iterator[tuple[str, str, Wanted]]:
    wanted_at = water.wanted(scene.ledger)
    for measure in (note.measure,) if note.measure else ASKED:
        named = note.where in scene.vocabulary.tanks and measure in TANK_MEASURES
        for place in (note.where,) if named else water.places_of(measure, scene.vocabulary.tanks):
            yield measure, str(place), wanted_at(measure, str(place))


def trend_fact(one: Heading, today: date) -> Fact:
    """A trend as it is said: how fast, and when it leaves the range where it soon does."""
    place = _place(one)
    if one.line is None:
        return fact("trend_short", **place, n=one.days, least=LEAST_DAYS)
    if not one.line.sure:
        return fact("trend_steady", **place, n=one.days)
    way = "rises" if one.line.per_day > 0 else "falls"
    ends = sorted(abs(end) for end in (one.line.least, one.line.most))
    least, most, change = ({"measure": one.measure, "value": value} for value in (*ends, abs(one.line.per_day)))
    if one.leaving is None:
        return fact(f"trend_{way}", **place, change=change, least=least, most=most)
    out = one.leaving
    span = {"soonest": out.soonest, "latest": out.latest} if out.soonest != out.latest else {}
    return fact(f"trend_{way}_out", **place, change=change, day=out.day, **({"soonest": None, "latest": None} | span))


def _place(one: Heading) -> dict[str, str | None]:
    return {"measure": one.measure, "where": None if one.place == water.ROOM else one.place}
