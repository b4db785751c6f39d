"""Arriving and leaving, and the hours people gave: as they stayed, as they say, and as a lead approves them."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from core.acts.scene import Scene
from core.books import hours as hour_books
from core.books.people import by_handle
from core.books.tables import Person, Visit, WorkedHours
from core.calendar import local_day
from core.errors import Refused
from core.hours import leaving
from core.notes import ApproveHours, Arrive, Hours, Leave
from core.outcome import Outcome, fact
from core.people import first_name

LONG_DAY_MIN = 12 * 60
"""More hours than this on one day are doubted. Common practice, no source."""

FORGOTTEN_WITHIN = timedelta(hours=36)
"""What is told later than this after an arrival is not of that stay. Common practice, no source."""


def arrive(note: Arrive, scene: Scene) -> Outcome:
    """Somebody checks in."""
    writing = scene.enter(note)
    at = note.at.replace(tzinfo=scene.vocabulary.zone) if note.at else scene.told.said_at
    writing.record(Visit, person_id=scene.told.whom, kind="arrive", at=at)
    return Outcome((fact("arrive", at=at, name=first_name(scene.name)),), entry=writing.n)


def leave(note: Leave, scene: Scene) -> Outcome:
    """Somebody checks out; the time since they came counts as hours of the day they came on."""
    came = _stay(scene)
    at = _left_at(note, came, scene)
    writing = scene.enter(note)
    writing.record(Visit, person_id=scene.told.whom, kind="leave", at=at)
    minutes = (at - came.at).total_seconds() / 60 if came and at >= came.at else None
    if came and minutes is not None and minutes > leaving().longest_min:
        minutes = None  # nobody works so long: hours are asked for, not guessed
    if came and minutes is not None:
        on = local_day(came.at, scene.vocabulary.zone)
        writing.record(WorkedHours, person_id=scene.told.whom, minutes=minutes, on=on, source="visit")
    return Outcome((fact("leave", minutes=minutes, name=first_name(scene.name)),), entry=writing.n)


def _stay(scene: Scene) -> Visit | None:
    """Their arrival that no leaving has followed, of today or of the night before."""
    if scene.told.whom is None:
        return None
    came = hour_books.last_arrival(scene.ledger, scene.told.whom, scene.told.said_at)
    return came if came is not None and scene.told.said_at - came.at <= FORGOTTEN_WITHIN else None


def _left_at(note: Leave, came: Visit | None, scene: Scene) -> datetime:
    """When they left. An hour that is still to come, told the morning after, is one of the day they came on."""
    if note.at is None:
        return scene.told.said_at
    at = note.at.replace(tzinfo=scene.vocabulary.zone)
    forgotten = came is not None and local_day(came.at, scene.vocabulary.zone) < scene.day
    return at - timedelta(days=1) if forgotten and at > scene.told.said_at else at


def hours(note: Hours, scene: Scene) -> Outcome:
    """Time worked, as reported; of the day of a stay left open, where no day was said."""
    minutes = float(note.minutes or 0)
    day = note.date or _day_of_stay(scene)
    if minutes > LONG_DAY_MIN and not scene.sure:
        return Outcome(doubts=(fact("doubt_long_day", minutes=minutes, day=day),))
    writing = scene.enter(note)
    writing.record(WorkedHours, person_id=scene.told.whom, minutes=minutes, on=day, source="said")
    return Outcome((fact("hours", minutes=minutes, day=day),), entry=writing.n)


def _day_of_stay(scene: Scene) -> date:
    """The day of a stay left open for which no hours are booked yet, else today."""
    came = _stay(scene)
    if came is None:
        return scene.day
    day = local_day(came.at, scene.vocabulary.zone)
    return scene.day if hour_books.worked_rows(scene.ledger, day, day, scene.told.whom) else day


def approve(note: ApproveHours, scene: Scene) -> Outcome:
    """A lead approves hours that were reported: one person's, or everybody's but the lead's own.

    Raises:
        Refused: "no_such_person", "own_hours" or "no_hours_wait".
    """
    person = _named(note.who, scene) if note.who else None
    if person is not None and person.id == scene.told.person_id:
        raise Refused("own_hours")
    waiting = hour_books.unapproved(scene.ledger, person.id if person else None)
    waiting = [(row, whose) for row, whose in waiting if whose.id != scene.told.person_id]
    if not waiting:
        raise Refused("no_hours_wait", name=first_name(person.name) if person else None)
    writing = scene.enter(note)
    for row, _ in waiting:
        writing.put(WorkedHours, {"entry": row.entry, "part": row.part}, approved_by=scene.told.person_id)
    names = tuple(dict.fromkeys(first_name(whose.name) for _, whose in waiting))
    return Outcome((fact("approved", minutes=sum(row.minutes for row, _ in waiting), people=names),), entry=writing.n)


def _named(handle: str, scene: Scene) -> Person:
    person = by_handle(scene.ledger, handle)
    if person is None:
        raise Refused("no_such_person", name=handle)
    return person
