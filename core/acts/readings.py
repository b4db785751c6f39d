"""A reading that somebody texts: kept, judged at once, and answered with what is usually done about it."""

from __future__ import annotations

import math

from core.acts.alarms import raise_at_once
from core.acts.calibrating import remarks
from core.acts.ranges import range_facts
from core.acts.scene import MOST_NAMED, Scene
from core.alarms import Trouble
from core.books import water
from core.books.people import crew
from core.books.tables import Measured
from core.errors import Refused
from core.notes import Reading
from core.outcome import Fact, News, Outcome, fact
from core.people import first_name
from core.readings import Judgement, Range, alarming, judge, likely, possible
from core.readings.advice import advice

IN_CHARGE = ("coordinator", "lead")


def reading(note: Reading, scene: Scene) -> Outcome:
    """Keep a measurement and say how it lies to what the crops there want, and what to do where it is off.

    Raises:
        Refused: "impossible_reading".
    """
    measure, value, where = str(note.measure), float(note.value or 0), note.where or water.ROOM
    said = {"measure": measure, "value": value}
    if not possible(measure, value):
        raise Refused("impossible_reading", reading=said)
    if not likely(measure, value) and not scene.sure:
        return Outcome(doubts=(fact("doubt_reading", reading=said),))
    wanted = water.wanted(scene.ledger)(measure, where).range
    side = judge(measure, value, wanted)
    writing = scene.enter(note)
    writing.record(Measured, measure=measure, value=value, place=where, at=scene.at, person_id=scene.told.person_id)
    verdict = fact(f"reading_{side}", **_values(measure, value, where, wanted))
    if side == "fine" or not alarming(measure, value):
        return Outcome((verdict,), (*_advised(measure, side, scene), *remarks(measure, where, scene)), entry=writing.n)
    found = Trouble(side, scene.at, value, urgent=True)
    told_first = raise_at_once(scene, measure, where, found, wanted)
    news = tuple(News(fact("news_reading", who=scene.name, reading=said), role=role, urgent=True) for role in IN_CHARGE)
    caution = fact(f"caution_{measure}")
    return Outcome((verdict,), entry=writing.n, news=news if told_first else (), first=(caution,))


def _values(measure: str, value: float, where: str, wanted: Range) -> dict[str, object]:
    """What there is to say of a reading: what, where, by how much it is off, and what is wanted."""
    off = max(wanted.low - value, value - wanted.high)
    return {
        "reading": {"measure": measure, "value": value},
        "where": None if where == water.ROOM else where,
        "off": {"measure": measure, "value": off} if off > 0 and math.isfinite(off) else None,
        "wanted": range_facts(measure, wanted),
    }


def _advised(measure: str, side: Judgement, scene: Scene) -> tuple[Fact, ...]:
    """What to check and what is usually done; who is not of age is told whom to fetch, where that is wiser."""
    known = advice().get((measure, side))
    if known is None:
        return ()
    if known.adults and scene.actor is not None and not scene.actor.grown_up:
        leads = [first_name(one.name) for one in crew(scene.ledger, "lead")]
        return (fact("fetch_lead", who=tuple(leads[:MOST_NAMED]) or None),)
    caution = (fact(f"caution_{known.caution}"),) if known.caution else ()
    return (fact(f"advice_{measure}_{side}"), *caution)
