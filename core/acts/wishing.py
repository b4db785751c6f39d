"""What people wish of the roster: whom to be with, how often, at which part of the day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from sqlmodel import col, select

from core.acts.scene import Scene
from core.books.tables import Person, Wish
from core.errors import Refused
from core.notes import RosterWish
from core.outcome import Fact, Outcome, fact
from core.people import first_name

NONE: dict[str, object] = {"beside": [], "apart": [], "most": None, "per": None, "part": None}


def wish(note: RosterWish, scene: Scene) -> Outcome:
    """Somebody's wish, beside those they have; the roster weighs it, and promises nothing.

    Raises:
        Refused: "no_such_person", where nobody of the crew has a handle.
    """
    changes = NONE if note.none else _changes(note, scene)
    # Whom somebody wants to be with stands in the postings by number alone: no name of theirs outlives an erasing.
    writing = scene.enter(replace(note, beside=(), apart=()))
    writing.put(Wish, {"person_id": scene.told.person_id}, **changes)
    if note.none:
        return Outcome((fact("wish_none"),), entry=writing.n)
    return Outcome((fact("wish", wishes=tuple(_said(note, scene))),), (fact("wish_weighed"),), entry=writing.n)


def _said(note: RosterWish, scene: Scene) -> Iterator[Fact]:
    if note.beside:
        yield fact("wish_beside", who=_names(note.beside, scene))
    if note.apart:
        yield fact("wish_apart", who=_names(note.apart, scene))
    if note.most:
        yield fact(f"wish_per_{note.per or 'week'}", n=note.most)
    if note.part:
        yield fact(f"wish_part_{note.part}")


def _changes(note: RosterWish, scene: Scene) -> dict[str, object]:
    """The fields of their wishes that it sets; somebody they want to be with is no longer one they do not, and back."""
    old = scene.ledger.session.get(Wish, (scene.ledger.farm_id, scene.told.person_id)) or Wish(beside=[], apart=[])
    changes: dict[str, object] = {}
    if note.beside or note.apart:
        beside, apart = _numbers(note.beside, scene), _numbers(note.apart, scene)
        changes["beside"] = sorted({*old.beside, *beside} - set(apart))
        changes["apart"] = sorted({*old.apart, *apart} - set(beside))
    if note.most is not None:
        changes |= {"most": note.most, "per": note.per or "week"}
    if note.part is not None:
        changes["part"] = note.part
    return changes


def _people(handles: Iterable[str], scene: Scene) -> list[Person]:
    wanted = list(handles)
    query = select(Person).where(Person.farm_id == scene.ledger.farm_id, Person.state == "here")
    found = {one.handle: one for one in scene.ledger.session.exec(query.where(col(Person.handle).in_(wanted)))}
    missing = [one for one in wanted if one not in found]
    if missing:
        raise Refused("no_such_person", name=missing[0])
    return [found[one] for one in wanted]


def _numbers(handles: Iterable[str], scene: Scene) -> list[int]:
    return [one.id for one in _people(handles, scene) if one.id != scene.told.person_id]


def _names(handles: Iterable[str], scene: Scene) -> tuple[str, ...]:
    return tuple(first_name(one.name) for one in _people(handles, scene))
