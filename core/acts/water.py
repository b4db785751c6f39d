"""Readings, additions, calibrations and trouble."""

from __future__ import annotations

import math

from core.acts.done_tasks import settle
from core.acts.scene import Scene
from core.acts.supplies import use
from core.books import water
from core.books.tables import Addition, Calibration, Measured, Supply, TroubleReport
from core.errors import Refused
from core.notes import Added, Calibrated, Reading, Trouble
from core.outcome import Fact, News, Outcome, fact
from core.readings import Range, alarming, judge, likely, possible, usual

ACIDS_AND_BASES = ("ph_down", "ph_up")
CAUTIONS = {
    "injury": "caution_injury",
    "power": "caution_power",
    "leak": "caution_leak",
    "pump": "caution_power",
    "smell": "caution_smell",
}
"""What is said where the work is, by the kind of trouble."""

IN_CHARGE = ("coordinator", "lead")
URGENT = ("leak", "pump", "power", "heat", "injury", "alarm", "smell")


def reading(note: Reading, scene: Scene) -> Outcome:
    """Keep a measurement and say how it lies to what the crops there want.

    Raises:
        Refused: "impossible_reading".
    """
    measure, value, where = str(note.measure), float(note.value or 0), note.where or "room"
    said = {"measure": measure, "value": value}
    if not possible(measure, value):
        raise Refused("impossible_reading", reading=said)
    if not likely(measure, value) and not scene.sure:
        return Outcome(doubts=(fact("doubt_reading", reading=said),))
    writing = scene.enter(note)
    writing.record(
        Measured, measure=measure, value=value, place=where, at=scene.told.said_at, person_id=scene.told.person_id
    )
    wanted = water.wanted(scene.ledger, measure, where) or usual(measure)
    verdict = fact(
        f"reading_{judge(measure, value, wanted)}",
        reading=said,
        where=None if where == "room" else where,
        wanted=_range(measure, wanted),
    )
    if not alarming(measure, value):
        return Outcome((verdict,), entry=writing.n)
    news = tuple(News(fact("news_reading", who=scene.name, reading=said), role=role, urgent=True) for role in IN_CHARGE)
    return Outcome((verdict,), entry=writing.n, news=news, first=(fact(f"caution_{measure}"),))


def _range(measure: str, wanted: Range) -> tuple[Fact, ...]:
    """The range as a fact of its own, open on a side or not."""
    low, high = ({"measure": measure, "value": value} for value in (wanted.low, wanted.high))
    if math.isinf(wanted.low):
        return (fact("range_to", high=high),)
    return (fact("range_from", low=low),) if math.isinf(wanted.high) else (fact("range_between", low=low, high=high),)


def added(note: Added, scene: Scene) -> Outcome:
    """Something was put into a tank; nutrients are counted down, and acids and bases carry their caution."""
    item, amount_ml = str(note.item), float(note.amount_ml or 0)
    writing = scene.enter(note)
    writing.record(Addition, item=item, amount_ml=amount_ml, tank=note.where, at=scene.told.said_at)
    supply = scene.ledger.session.get(Supply, (scene.ledger.farm_id, item))
    litres = {"l": 1000.0, "ml": 1.0}.get(supply.unit.lower() if supply else "")
    left = use(scene, writing, item, amount_ml / litres) if litres else ()
    cautions: tuple[Fact, ...] = ()
    news: tuple[News, ...] = ()
    if item in ACIDS_AND_BASES:
        minor = scene.actor is not None and scene.actor.age == "minor"
        cautions = (fact("caution_minor" if minor else "caution_acid"),)
        if minor:
            news = (News(fact("news_minor_acid", who=scene.name, item=item), role="coordinator", urgent=True),)
    said = fact("added", amount_ml=amount_ml, supply={"item": item}, where=note.where)
    return Outcome((said,), (*cautions, *left), entry=writing.n, news=news)


def calibrated(note: Calibrated, scene: Scene) -> Outcome:
    """A probe was calibrated."""
    writing = scene.enter(note)
    writing.record(Calibration, measure=note.measure, tank=note.where, at=scene.told.said_at)
    settle(scene, writing, "calibrate", None, [note.where] if note.where else list(scene.vocabulary.tanks))
    return Outcome((fact("calibrated", measure=note.measure, where=note.where),), entry=writing.n)


def trouble(note: Trouble, scene: Scene) -> Outcome:
    """Something is wrong: kept open, told to leads and coordinators at once, the caution first."""
    kind = note.kind or "other"
    writing = scene.enter(note)
    writing.record(
        TroubleReport,
        kind=kind,
        places=list(note.where),
        crop=note.crop,
        at=scene.told.said_at,
        person_id=scene.told.person_id,
    )
    what = fact("news_trouble", who=scene.name, kind=kind, places=note.where, crop=note.crop)
    news = tuple(News(what, role=role, urgent=kind in URGENT) for role in IN_CHARGE)
    remark = (fact(CAUTIONS[kind]),) if kind in CAUTIONS else ()
    said = fact("trouble", kind=kind, places=note.where, crop=note.crop)
    if kind == "injury":
        return Outcome((said,), first=remark, entry=writing.n, news=news)
    return Outcome((said,), remarks=remark, entry=writing.n, news=news)
