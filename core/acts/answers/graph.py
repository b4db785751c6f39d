"""A drawing of what was read, and in words what it shows."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from core.acts.answers.water import quantity
from core.acts.curve import curve
from core.acts.scene import Scene
from core.books import water
from core.calendar import bounds
from core.notes import Ask
from core.outcome import Fact, Outcome, Picture, fact
from core.readings.curve import Curve

USUAL_DAYS = 14
DAYS = {"week": 7, "month": 30, "season": 90}
"""Days back from today that a period said means; "last week" and single days are themselves."""


def graph(note: Ask, scene: Scene) -> Outcome:
    """The measure asked about in the tank named, or the one read last: two weeks of it, or the period said."""
    measure = note.measure or "ph"
    where = _where(note, measure, scene)
    since, until = _stretch(note, scene)
    drawn = curve(scene.ledger, measure, where, since, until)
    place = None if where == water.ROOM else where
    if not drawn.points:
        return Outcome((fact("graph_none", measure=measure, where=place, days=_days(drawn)),))
    return Outcome((_in_words(drawn, place),), picture=Picture(measure, where, since, until))


def _in_words(drawn: Curve, place: str | None) -> Fact:
    last_at, last = drawn.points[-1]
    values = [value for _, value in drawn.points]
    return fact(
        "graph",
        measure=drawn.measure,
        where=place,
        days=_days(drawn),
        last=quantity(drawn.measure, last),
        at=last_at,
        lowest=quantity(drawn.measure, min(values)),
        highest=quantity(drawn.measure, max(values)),
        low=quantity(drawn.measure, drawn.wanted.low),
        high=quantity(drawn.measure, drawn.wanted.high),
    )


def _days(drawn: Curve) -> int:
    return max(1, round((drawn.until - drawn.since) / timedelta(days=1)))


def _where(note: Ask, measure: str, scene: Scene) -> str:
    """The tank named; else that with the newest reading."""
    places = water.places_of(measure, scene.vocabulary.tanks)
    if note.where in places or not places:
        return note.where or water.ROOM
    newest = {place: one.at for place in places if (one := water.latest(scene.ledger, measure, place)) is not None}
    return max(newest, key=lambda place: newest[place], default=places[0])


def _stretch(note: Ask, scene: Scene) -> tuple[datetime, datetime]:
    """From the beginning of the first day asked about to the end of the last, today's where none is said."""
    first, last = _dates(note, scene.day)
    return bounds(first, last, scene.vocabulary.zone)


def _dates(note: Ask, today: date) -> tuple[date, date]:
    if note.date is not None:
        return note.date, note.date
    if note.period == "today":
        return today, today
    if note.period == "last_week":
        monday = today - timedelta(days=today.weekday())
        return monday - timedelta(days=7), monday - timedelta(days=1)
    days = DAYS.get(note.period or "", USUAL_DAYS)
    return today - timedelta(days=days - 1), today
