"""People themselves: signed off for a training, pausing, leaving, given a role, a further number, other reminders."""

from __future__ import annotations

from datetime import date

from sqlmodel import select

from core.acts import standins
from core.acts.scene import Scene
from core.books import people
from core.books.crew import shifts_of
from core.books.ledger import Writing
from core.books.tables import OtherPhone, Person, Shift, ShiftPlace, Training
from core.calendar import local_day
from core.errors import Refused
from core.notes import GiveRole, LeaveCrew, OtherNumber, Pause, Reminding, RemovePerson, Trained
from core.outcome import Fact, News, Outcome, fact
from core.people import first_name, holds_until, reminder_may_be, skills


def trained(note: Trained, scene: Scene) -> Outcome:
    """A lead signs somebody off for a training, kept with who and when; or takes that back.

    Raises:
        Refused: "no_such_person", "own_training", or "training_for_adults".
    """
    person, skill = named(note.who, scene), str(note.skill)
    if person.id == scene.told.person_id:
        raise Refused("own_training")
    name = first_name(person.name)
    if skills()[skill].adults and not person.grown_up and not note.gone:
        raise Refused("training_for_adults", name=name, skill=skill)
    writing, key = scene.enter(note), {"person_id": person.id, "skill": skill}
    until = holds_until(skill, scene.day)
    signed = {"signed_by": scene.told.person_id, "signed_on": scene.day, "until": until, "gone": bool(note.gone)}
    writing.put(Training, key, **signed)
    if note.gone:
        return Outcome((fact("untrained", name=name, skill=skill),), entry=writing.n)
    news = News(fact("news_trained", who=first_name(scene.name), skill=skill, until=until), person_id=person.id)
    return Outcome((fact("trained", name=name, skill=skill, until=until),), entry=writing.n, news=(news,))


def pause(note: Pause, scene: Scene) -> Outcome:
    """The sender wants no shifts for a while, or again; those of the time are given up and offered to others."""
    writing, me = scene.enter(note), scene.told.person_id or 0
    if note.over:
        writing.put(Person, {"id": me}, paused=False, back_on=None)
        return Outcome((fact("pause_over"),), entry=writing.n)
    writing.put(Person, {"id": me}, paused=True, back_on=note.until)
    freed = _free(scene, writing, me, note.until)
    return Outcome((fact("paused", until=note.until),), _remarks(freed), entry=writing.n)


def leave_crew(note: LeaveCrew, scene: Scene) -> Outcome:
    """The sender leaves the crew; their hours stay on the books, and they can ask to join again.

    Raises:
        Refused: "last_coordinator".
    """
    person = people.person(scene.ledger, scene.told.person_id or 0)
    _spare_last_coordinator(person, scene)
    if not scene.sure:
        return Outcome(doubts=(fact("doubt_leave", farm=scene.vocabulary.farm),))
    writing = scene.enter(note)
    freed = _off_the_crew(scene, writing, person)
    news = News(fact("news_left", who=person.name), role="coordinator")
    left = fact("left_crew", farm=scene.vocabulary.farm)  # a remark: UNDO would not reach them any more
    return Outcome(remarks=(left, *_remarks(freed)), entry=writing.n, news=(news,))


def remove(note: RemovePerson, scene: Scene) -> Outcome:
    """Somebody is taken off the crew; their hours stay on the books.

    Raises:
        Refused: "no_such_person" or "last_coordinator".
    """
    person = named(note.who, scene)
    _spare_last_coordinator(person, scene)
    writing = scene.enter(note)
    freed = _off_the_crew(scene, writing, person)
    return Outcome((fact("removed", name=person.name),), _remarks(freed, person), entry=writing.n)


def give_role(note: GiveRole, scene: Scene) -> Outcome:
    """Somebody has another role from now on, and hears of it.

    Raises:
        Refused: "no_such_person", "last_coordinator", or "role_for_adults".
    """
    person, role = named(note.who, scene), str(note.role)
    if role != "volunteer" and not person.grown_up:
        raise Refused("role_for_adults", name=first_name(person.name))
    if role != "coordinator":
        _spare_last_coordinator(person, scene)
    writing = scene.enter(note)
    writing.put(Person, {"id": person.id}, role=role)
    news = News(fact("news_role", farm=scene.vocabulary.farm, role=f"role_{role}"), person_id=person.id)
    said = fact("role_given", name=first_name(person.name), role=f"role_{role}")
    return Outcome((said,), entry=writing.n, news=(news,))


def other_number(note: OtherNumber, scene: Scene) -> Outcome:
    """What comes from a further number counts as said by somebody; unasked texts still go to their first one.

    Raises:
        Refused: "no_such_person" or "number_taken".
    """
    person, phone = named(note.who, scene), str(note.phone)
    known = people.by_phone(scene.ledger, phone)
    if known is not None:
        raise Refused("number_taken", name=first_name(known.name))
    writing = scene.enter(note)
    writing.put(OtherPhone, {"phone": phone}, person_id=person.id)
    return Outcome((fact("number_added", name=first_name(person.name), phone=phone),), entry=writing.n)


def reminding(note: Reminding, scene: Scene) -> Outcome:
    """How the sender wants to be reminded and asked.

    Raises:
        Refused: "reminder_time", for a time too near to a shift or too far from it.
    """
    if note.minutes is not None and not reminder_may_be(note.minutes):
        raise Refused("reminder_time")
    chosen = {"remind_before": note.minutes, "eve_reminder": note.eve, "asked_weekly": note.weekly}
    values = {name: value for name, value in chosen.items() if value is not None}
    writing = scene.enter(note)
    if note.minutes is not None:
        values["remind_before"] = round(note.minutes)
    writing.put(Person, {"id": scene.told.person_id}, **values)
    return Outcome(tuple(_chosen(note)), entry=writing.n)


def _chosen(note: Reminding) -> list[Fact]:
    said = [fact("remind_before", minutes=note.minutes)] if note.minutes is not None else []
    said += [fact("eve_on" if note.eve else "eve_off")] if note.eve is not None else []
    return said + ([fact("weekly_on" if note.weekly else "weekly_off")] if note.weekly is not None else [])


def named(handle: str | None, scene: Scene) -> Person:
    """Somebody of the crew by handle.

    Raises:
        Refused: "no_such_person".
    """
    query = select(Person).where(Person.farm_id == scene.ledger.farm_id, Person.handle == handle)
    person = scene.ledger.session.exec(query.where(Person.state == "here")).first()
    if person is None:
        raise Refused("no_such_person", name=handle)
    return person


def _spare_last_coordinator(person: Person, scene: Scene) -> None:
    if person.role == "coordinator" and len(people.crew(scene.ledger, "coordinator")) == 1:
        raise Refused("last_coordinator")


def _off_the_crew(scene: Scene, writing: Writing, person: Person) -> list[Shift]:
    freed = _free(scene, writing, person.id, None)
    writing.put(Person, {"id": person.id}, state="left", agreed=False)
    return freed


def _free(scene: Scene, writing: Writing, who: int, before: date | None) -> list[Shift]:
    """Give up somebody's shifts before a day, and look for others to step in."""
    zone = scene.vocabulary.zone
    own = shifts_of(scene.ledger, who, scene.told.said_at, zone)
    freed = [one for one in own if before is None or local_day(one.starts_at, zone) < before]
    for shift in freed:
        writing.put(ShiftPlace, {"shift": shift.id, "person_id": who}, answer="no")
        standins.seek(scene, writing, shift, who=who)
    return freed


def _remarks(freed: list[Shift], whose: Person | None = None) -> tuple[Fact, ...]:
    if not freed:
        return ()
    if whose is not None:
        return (fact("frees_places", name=first_name(whose.name), n=len(freed)),)
    return (fact("frees_own_places", n=len(freed)),)
