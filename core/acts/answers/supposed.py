"""What would come of a change: the plan made again with it, laid beside the plan as it is. Nothing is kept of it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta

from core.acts.answers.shortened import shortened
from core.acts.planning import TRIES, make_plan, planned_crop
from core.acts.scene import Scene
from core.books import growing
from core.books.tables import Place
from core.crops import profiles
from core.notes import WhatIf
from core.outcome import Fact, Outcome, fact
from core.places import LIVES, OUT, codes
from core.planning.changes import Change, Difference, Lost, NewCrop, PlacesOut, TargetTimes, WeeksClosed, what_if
from core.planning.growth import published
from core.tasks import trays_for

MOST_EFFECTS = 4
WORD = re.compile(r"[^\W_]+")

NEW_HEADS = 12
"""Heads or bunches a week taken for a new crop where nobody says how many. Common practice, no source."""


def supposed(note: WhatIf, scene: Scene) -> Outcome:
    """The difference that a change makes, or how to ask for one.

    Raises:
        Refused: "no_such_place".
    """
    scene.check_places(note.places)
    change = change_of(note, scene)
    if change is None:
        return Outcome((fact("what_if_how"),))
    problem, before = make_plan(scene.ledger, scene.vocabulary, scene.day)
    _, _, found = what_if(problem, change, before=before, tries=TRIES)
    every = [*_to_move(note, change, scene), *effects(found, scene.vocabulary.tray_cells)]
    shown, more = shortened(every, MOST_EFFECTS)
    told = told_of(change, note)
    return Outcome(
        (fact("what_if", change=(told,), effects=shown, more=more) if shown else fact("what_if_same", change=(told,)),)
    )


def change_of(note: WhatIf, scene: Scene) -> Change | None:
    """The change that a note supposes; None where something of it is missing or not known here."""
    match note.change:
        case "out":
            return _out(note, scene)
        case "lost" if note.crop or _codes(note, scene):
            return Lost(crop=note.crop, places=frozenset(_codes(note, scene)))
        case "closed":
            return _closed(note, scene)
        case "times" if note.times is not None:
            return TargetTimes(crop=note.crop, factor=note.times)
        case "new":
            return _new(note, scene)
    return None


def _to_move(note: WhatIf, change: Change, scene: Scene) -> Iterator[Fact]:
    """What stands in places that would be out of use: the plan takes it to be moved where there is room."""
    stands = growing.standing(scene.ledger, _codes(note, scene)) if isinstance(change, PlacesOut) else []
    plants = sum(one.plants for one, _ in stands)
    if plants:
        yield fact("effect_move", n=plants)


def effects(found: Difference, tray_cells: int) -> Iterator[Fact]:
    """What a difference comes to, the worst first."""
    if found.given_up >= 1:
        yield fact("effect_given_up", n=round(found.given_up))
    for crop, heads in sorted(found.missing.items(), key=lambda one: -one[1]):
        kind = "effect_short" if heads > 0 else "effect_less_short"
        yield fact(kind, amount={"crop": crop, "count": round(abs(heads))})
    for crop, plugs in sorted(found.plugs_now.items(), key=lambda one: -abs(one[1])):
        trays = trays_for(abs(plugs), tray_cells)
        yield fact("effect_sow_more" if plugs > 0 else "effect_sow_less", crop=crop, trays=trays)


def _codes(note: WhatIf, scene: Scene) -> list[str]:
    """The places meant: those named, or all of a row."""
    return codes(note.row, scene.vocabulary.tower_rows[note.row]) if note.row else list(note.places)


def _out(note: WhatIf, scene: Scene) -> PlacesOut | None:
    """Sites of places that are in use; what is out already cannot be missed."""
    rows: list[Place] = [one for one in growing.places(scene.ledger, _codes(note, scene)).values() if one.state != OUT]
    if not rows:
        return None
    where = LIVES[rows[0].kind]
    sites = sum(one.sites for one in rows if LIVES[one.kind] == where)
    return PlacesOut(where=where, sites=sites, first=max(note.first or scene.day, scene.day), last=note.last)


def _closed(note: WhatIf, scene: Scene) -> WeeksClosed:
    """Whole weeks, next week where none is named."""
    named = note.first or scene.day + timedelta(days=7)
    monday = named - timedelta(days=named.weekday())
    last = max(note.last or monday, monday)
    return WeeksClosed(first=monday, last=last + timedelta(days=6 - last.weekday()))


def _new(note: WhatIf, scene: Scene) -> NewCrop | None:
    """One of our profiles that the farm does not grow yet."""
    said = f" {' '.join(WORD.findall((note.name or '').casefold()))} "
    ways = [(way, slug) for slug, one in profiles().items() for names in one.names.values() for way in names]
    found = max(((way, slug) for way, slug in ways if f" {way} " in said), key=lambda one: len(one[0]), default=None)
    if found is None or found[1] in growing.crops(scene.ledger):
        return None
    profile = profiles()[found[1]]
    return NewCrop(
        crop=planned_crop(scene.ledger, scene.vocabulary, profile, published(profile)), heads=note.count or NEW_HEADS
    )


def told_of(change: Change, note: WhatIf) -> Fact:
    """The change in a few words, as it was understood."""
    match change:
        case PlacesOut():
            return fact("if_out", row=note.row, places=note.places or None, day=change.first, until=change.last)
        case Lost():
            return fact("if_lost", row=note.row, places=note.places or None, crop=change.crop)
        case WeeksClosed():
            return fact("if_closed", day=change.first, until=change.last)
        case TargetTimes():
            return fact("if_times", times=change.factor, crop=change.crop)
        case NewCrop():
            return fact("if_new", crop=change.crop.slug, n=round(change.heads))
