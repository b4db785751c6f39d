"""Alarms opened and ended by the farm itself, and taken on or silenced by people."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from core.acts.scene import Scene
from core.alarms import Trouble, escalation, is_over, next_change, trouble
from core.books import alarms, water
from core.books.ledger import Ledger, Told, Writing
from core.books.tables import Alarm
from core.errors import Refused
from core.notes import QuietAlarm, TakeAlarm
from core.outcome import Fact, Outcome, fact
from core.readings import Range

SETTLED = timedelta(days=14)
"""A measure that nobody has read for so long is no longer looked at. Common practice, no source."""


SIDES = ("low", "high")


@dataclass(frozen=True, slots=True)
class Change:
    """An alarm to be opened for a trouble, or one that is over; both where a trouble gives way to another."""

    measure: str
    place: str
    wanted: Range
    trouble: Trouble | None = None
    over: Alarm | None = None


@dataclass(frozen=True, slots=True)
class Watched:
    """What is to change now, and when something may change next if nothing is read meanwhile."""

    changes: tuple[Change, ...]
    next_at: datetime | None


def watch(ledger: Ledger, now: datetime) -> Watched:
    """Look at the newest reading of every measure everywhere; nothing is written."""
    open_by_pair: dict[tuple[str, str], list[Alarm]] = {}
    for one in alarms.open_alarms(ledger):
        open_by_pair.setdefault((one.measure, one.place), []).append(one)
    newest = {
        pair: one
        for pair, one in water.newest(ledger).items()
        if one.at <= now and (now - one.at < SETTLED or pair in open_by_pair)
    }
    wanted_at = water.wanted(ledger) if newest else None
    gone = [one for pair, known in open_by_pair.items() if pair not in newest for one in known]
    changes = [Change(one.measure, one.place, Range(0, 0), over=one) for one in gone]
    moments: list[datetime] = []
    for (measure, place), last in newest.items():
        wanted = wanted_at(measure, place).range if wanted_at else Range(0, 0)
        known = open_by_pair.get((measure, place), [])
        seen = alarms.seen(ledger, last, wanted, now, alarmed=bool(known))
        found = trouble(measure, seen, wanted, now)
        ended = [one for one in known if is_over(one.kind, one.since, measure, seen, wanted)]
        changes += _changes(measure, place, wanted, found, known, ended)
        moment = next_change(measure, seen, wanted, now)
        moments += [moment] if moment is not None else []
    return Watched(tuple(changes), min(moments, default=None))


def _changes(
    measure: str, place: str, wanted: Range, found: Trouble | None, known: list[Alarm], ended: list[Alarm]
) -> Iterator[Change]:
    """What is over ends; a trouble that is not told of yet begins, in place of one on another side or less urgent."""
    yield from (Change(measure, place, wanted, over=one) for one in ended)
    lasting = [one for one in known if one not in ended]
    if found is None or any(one.kind == found.kind and one.urgent >= found.urgent for one in lasting):
        return
    worse = [one for one in lasting if one.kind in SIDES and found.kind in SIDES]
    yield Change(measure, place, wanted, found, worse[0] if worse else None)


def settle(ledger: Ledger, change: Change, now: datetime) -> None:
    """Write a change down: the alarm that is over, and the one that begins."""
    told = Told(None, now, now)
    if change.over is not None:
        ledger.enter("alarm_over", told).put(Alarm, _key(change.over), over_at=now)
    if change.trouble is not None:
        open_alarm(ledger.enter("alarm", told), change.measure, change.place, change.trouble, change.wanted, now)


def open_alarm(writing: Writing, measure: str, place: str, found: Trouble, wanted: Range, now: datetime) -> None:
    """Record an alarm as part of an entry."""
    low, high = (None if abs(one) == float("inf") else one for one in (wanted.low, wanted.high))
    writing.record(
        Alarm, measure=measure, place=place, kind=found.kind, value=found.value, low=low, high=high,
        urgent=found.urgent, since=found.since, opened_at=now,
    )  # fmt: skip


def raise_at_once(scene: Scene, measure: str, place: str, found: Trouble, wanted: Range) -> bool:
    """Raise an alarm for what somebody just said, in place of one that is less urgent; False where it is known.

    It is an entry of its own: who takes their reading back leaves it to the next look whether it is over.
    """
    known = [
        one
        for one in alarms.open_alarms(scene.ledger)
        if (one.measure, one.place) == (measure, place) and one.kind in SIDES
    ]
    if any(one.kind == found.kind and one.urgent for one in known):
        return False
    writing = scene.ledger.enter("alarm", replace(scene.told, person_id=None))
    for one in known:
        writing.put(Alarm, _key(one), over_at=scene.told.now)
    open_alarm(writing, measure, place, found, wanted, scene.told.now)
    return True


def take(note: TakeAlarm, scene: Scene) -> Outcome:
    """Somebody sees to an alarm: nobody else is told for a good while.

    Raises:
        Refused: "no_alarm", where it is over or never was.
    """
    alarm = _open(note.alarm, scene)
    writing = scene.enter(note)
    writing.put(Alarm, _key(alarm), taken_by=scene.told.person_id, taken_at=scene.told.said_at)
    return Outcome((fact("alarm_taken", **alarm_values(alarm)),), entry=writing.n)


def quiet(note: QuietAlarm, scene: Scene) -> Outcome:
    """An alarm is passed on to nobody for some hours.

    Raises:
        Refused: "no_alarm"; "too_quiet", where it is for longer than alarms may be silenced.
    """
    alarm, limits = _open(note.alarm, scene), escalation()["quiet"]
    hours = limits["hours"] if note.hours is None else note.hours
    if not 0 < hours <= limits["most_hours"]:
        raise Refused("too_quiet", n=int(limits["most_hours"]))
    writing = scene.enter(note)
    until = scene.told.said_at + timedelta(hours=hours)
    writing.put(Alarm, _key(alarm), quiet_until=until)
    return Outcome((fact("alarm_quiet", until=until, **alarm_values(alarm)),), entry=writing.n)


def _open(entry: int | None, scene: Scene) -> Alarm:
    found = alarms.alarm(scene.ledger, entry) if entry is not None else None
    if found is None or found.over_at is not None:
        raise Refused("no_alarm")
    return found


def _key(alarm: Alarm) -> dict[str, int]:
    return {"entry": alarm.entry, "part": alarm.part}


def alarm_values(alarm: Alarm) -> dict[str, object]:
    """What there is to say of an alarm, for its sentences: where, what was read, what is wanted, since when."""
    reading = None if alarm.value is None else {"measure": alarm.measure, "value": alarm.value}
    side = alarm.low if alarm.kind == "low" else alarm.high
    return {
        "where": None if alarm.place == water.ROOM else alarm.place,
        "measure": alarm.measure,
        "reading": reading,
        "since": alarm.since,
        "limit": None if side is None else {"measure": alarm.measure, "value": side},
    }


def alarm_fact(alarm: Alarm) -> Fact:
    """An alarm in a few words, for lists."""
    return fact(f"alarm_short_{alarm.kind}", **alarm_values(alarm))
