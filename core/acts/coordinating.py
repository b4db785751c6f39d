"""What only coordinators do: tell people, set targets, add people, close the farm for a day."""

from __future__ import annotations

from datetime import date

from sqlmodel import col, select

from core.acts.scene import Scene
from core.books import people
from core.books.crew import coming, shifts_between
from core.books.tables import Announcement, ClosedDay, Person, Shift
from core.books.tables import Target as TargetRow
from core.calendar import bounds
from core.errors import Refused
from core.notes import AddPerson, Announce, Closed, Target
from core.outcome import News, Outcome, fact


def announce(note: Announce, scene: Scene) -> Outcome:
    """Tell everyone who agreed to be texted, or those of them on a shift.

    Raises:
        Refused: "no_such_shift".
    """
    willing = {one.id for one in people.crew(scene.ledger) if one.agreed and not one.muted and one.phone}
    meant = willing if note.to in (None, "all") else willing & set(_on_shift(note, scene))
    reached = sorted(meant - {scene.told.person_id})
    writing = scene.enter(note)
    writing.record(Announcement, words=note.words, reached=reached, at=scene.told.said_at)
    told = fact("announcement", who=scene.name, words=note.words)
    news = tuple(News(told, person_id=one) for one in reached)
    return Outcome((fact("announce", n=len(reached)),), entry=writing.n, news=news)


def _on_shift(note: Announce, scene: Scene) -> list[int]:
    shift = scene.ledger.session.get(Shift, (scene.ledger.farm_id, note.to))
    if shift is None:
        raise Refused("no_such_shift")
    return list(coming(scene.ledger, shift.id))


def target(note: Target, scene: Scene) -> Outcome:
    """Aim for so many a week."""
    writing = scene.enter(note)
    writing.put(TargetRow, {"crop": note.crop}, count=float(note.count or 0))
    return Outcome((fact("target", aim={"crop": note.crop, "count": note.count}),), entry=writing.n)


def add_person(note: AddPerson, scene: Scene) -> Outcome:
    """Someone joins the crew. They are sent nothing before they have texted the farm and agreed.

    Raises:
        Refused: "number_taken".
    """
    known = people.by_phone(scene.ledger, note.phone) if note.phone else None
    if known and known.state == "here":
        raise Refused("number_taken", name=known.name)
    writing = scene.enter(note)
    if known:
        writing.put(Person, {"id": known.id}, state="here", name=note.name or known.name, role=note.role or "volunteer")
        return Outcome((fact("person_welcomed", name=known.name),), entry=writing.n, news=_welcome(known.id, scene))
    writing.record(
        Person,
        id=scene.ledger.number("person"),
        handle=_handle(str(note.name), scene),
        name=note.name,
        phone=note.phone,
        role=note.role or "volunteer",
        age="unknown",
    )
    return Outcome((fact("person_added", name=note.name, phone=note.phone),), entry=writing.n)


def _welcome(person_id: int, scene: Scene) -> tuple[News, ...]:
    """They asked to join, so they may be answered."""
    return (News(fact("welcome", farm=scene.vocabulary.farm), person_id=person_id),)


def _handle(name: str, scene: Scene) -> str:
    """A short name nobody else has: "rosa", "rosa2"."""
    stem = "".join(letter for letter in name.split()[0].lower() if letter.isalnum()) or "person"
    query = select(Person.handle).where(Person.farm_id == scene.ledger.farm_id, col(Person.handle).startswith(stem))
    taken = set(scene.ledger.session.exec(query))
    return next(one for one in (stem, *(f"{stem}{i}" for i in range(2, 10_000))) if one not in taken)


def closed(note: Closed, scene: Scene) -> Outcome:
    """The farm is closed that day; those with shifts are told."""
    day = note.date or scene.day
    writing = scene.enter(note)
    writing.put(ClosedDay, {"day": day})
    told = fact("closed_news", day=day)
    who = expected(day, scene) - {scene.told.person_id}
    return Outcome(
        (fact("closed", day=day, n=len(who)),),
        entry=writing.n,
        news=tuple(News(told, person_id=one) for one in sorted(who)),
    )


def expected(day: date, scene: Scene) -> set[int]:
    """Everyone with a place on a shift of a farm-local day."""
    shifts = shifts_between(scene.ledger, *bounds(day, day, scene.vocabulary.zone))
    return {one for shift in shifts for one in coming(scene.ledger, shift.id)}
