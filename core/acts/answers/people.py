"""Who is on the crew, who can come on a day, and who is trained in what. First names only."""

from __future__ import annotations

from core.acts.scene import Scene
from core.books import people
from core.books.crew import shifts_between
from core.books.roster import places_between, said_of_coming
from core.calendar import asked_days, bounds, instant
from core.notes import Ask
from core.outcome import Fact, Outcome, fact
from core.people import first_name
from core.shifts.availability import can_come

MOST_NAMED = 20


def crew(note: Ask, scene: Scene) -> Outcome:
    """Everybody who is on the crew now, leads and coordinators marked, those who pause named apart."""
    away = people.paused(scene.ledger, scene.day)
    everyone = people.crew(scene.ledger)
    here = [one for one in everyone if one.id not in away]
    shown = tuple(
        fact("crew_member" if one.role == "volunteer" else f"crew_{one.role}", name=first_name(one.name))
        for one in here[:MOST_NAMED]
    )
    pausing = tuple(first_name(one.name) for one in everyone if one.id in away)
    more = max(0, len(here) - MOST_NAMED) or None
    return Outcome((fact("crew", n=len(everyone), people=shown, more=more, pausing=pausing),))


def able(note: Ask, scene: Scene) -> Outcome:
    """Who is on a shift of a day, or said that they can come to one; where it has none, all the hours it is open."""
    day = asked_days(note, scene.day, "today").first
    zone = scene.vocabulary.zone
    shifts = [(one.starts_at, one.ends_at) for one in shifts_between(scene.ledger, *bounds(day, day, zone))]
    spans = shifts or [(instant(day, scene.vocabulary.opens, zone), instant(day, scene.vocabulary.closes, zone))]
    said, away = said_of_coming(scene.ledger), people.paused(scene.ledger, day)
    start, end = bounds(day, day, zone)
    on = {place.person_id for place, _ in places_between(scene.ledger, start, end) if place.answer != "no"}
    can, unsaid = [], 0
    for person in people.crew(scene.ledger):
        words = [can_come(said.get(person.id, ()), start, end, zone) for start, end in spans]
        if person.id in on or (person.id not in away and any(words)):
            can.append(first_name(person.name))
        elif person.id not in away and all(one is None for one in words):
            unsaid += 1
    if not can:
        return Outcome((fact("nobody_can", day=day, n=unsaid),))
    return Outcome((fact("can_come", day=day, people=tuple(can), n=unsaid),))


def trained(note: Ask, scene: Scene) -> Outcome:
    """Who is signed off for a training today, and until when; where none is named, for which there is somebody."""
    names = {one.id: first_name(one.name) for one in people.crew(scene.ledger)}
    rows = [one for one in people.trainings(scene.ledger) if one.skill == note.item and one.person_id in names]
    valid = [one for one in rows if one.until is None or scene.day < one.until]
    if note.item is None:
        trainings = _trainings(scene)
        return Outcome((fact("trainings_of", skills=trainings) if trainings else fact("nobody_trained", skill=None),))
    if not valid:
        return Outcome((fact("nobody_trained", skill=note.item),))
    shown = tuple(fact("trained_one", name=names[one.person_id], until=one.until) for one in valid)
    return Outcome((fact("who_trained", skill=note.item, people=shown),))


def _trainings(scene: Scene) -> tuple[Fact, ...]:
    """How many of the crew are signed off today for each training there is."""
    counted: dict[str, int] = {}
    for skills in people.skills(scene.ledger, scene.day).values():
        for skill in skills:
            counted[skill] = counted.get(skill, 0) + 1
    return tuple(fact("training_of", skill=skill, n=counted[skill]) for skill in sorted(counted))
