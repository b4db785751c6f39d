"""What stands in a place, and what is ready to cut."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import date

from core.acts.answers import water
from core.acts.answers.shortened import shortened
from core.acts.picture import ripe_by
from core.acts.scene import Scene
from core.books import growing, tasks
from core.calendar import asked_days, local_day
from core.crops import next_cut, up_on
from core.day import Ripe
from core.notes import Ask
from core.outcome import Fact, Outcome, fact
from core.tasks import Planted, State

MOST_HELD = 3
MOST_RIPE = 4
COLLECTIVE = {"tower": "towers", "shelf": "shelves"}
"""What all places of a kind are called together."""


def place(note: Ask, scene: Scene) -> Outcome:
    """What stands in a place and when it moves on or is cut, or that it is empty. A tank is answered by its readings.

    Raises:
        Refused: "no_such_place".
    """
    if note.place is None:
        return Outcome((fact("which_place"),))
    scene.check_places((note.place,))
    if note.place in scene.vocabulary.tanks:
        return water.reading(Ask(about="reading", where=note.place, date=note.date), scene)
    if note.date is not None and note.date < scene.day:
        return _held_then(note.place, note.date, scene)
    state = tasks.state(scene.ledger, scene.vocabulary, scene.day)
    there = [one for one in state.planted if note.place in (one.place, COLLECTIVE.get(one.kind))]
    if there:
        shown, more = shortened(_held(there, state, scene.day), MOST_HELD)
        return Outcome((fact("place_holds", place=note.place, held=shown, more=more),))
    row = growing.places(scene.ledger, [note.place]).get(note.place)
    return Outcome((fact(f"place_{row.state.replace(' ', '_') if row else 'ready'}", place=note.place),))


def _held_then(place: str, day: date, scene: Scene) -> Outcome:
    """What stood there on a past day, as the journal has it now."""
    plants: Counter[str] = Counter()
    for code in (place, *(scene.vocabulary.shelves if place == COLLECTIVE["shelf"] else ())):
        for stand, batch in growing.standing_on(scene.ledger, code, day, scene.vocabulary.zone):
            plants[batch.crop] += stand.plants
    if plants:
        held = [fact("held_then", crop=crop, plants=count) for crop, count in plants.most_common()]
        shown, more = shortened(held, MOST_HELD)
        return Outcome((fact("place_held", place=place, day=day, held=shown, more=more),))
    opening = growing.books_begin(scene.ledger)
    began = local_day(opening.said_at, scene.vocabulary.zone) if opening else scene.day
    return Outcome(
        (fact("place_before_books" if day < began else "place_held_nothing", place=place, day=day, began=began),)
    )


def _held(there: Iterable[Planted], state: State, day: date) -> list[Fact]:
    """Plants drawn together by crop and the day they move on, the next to move first."""
    plants: dict[tuple[date, str, str], int] = {}
    for one in there:
        crop = state.calendars[one.crop]
        on = up_on(crop, one.kind, one.since) or next_cut(crop, one.since, one.cuts, one.last_cut) or date.max
        key = (max(on, day) if on != date.max else on, one.crop, "ready" if one.kind == "tower" else "moves")
        plants[key] = plants.get(key, 0) + one.plants
    return [
        fact("held_spent" if on == date.max else f"held_{kind}", crop=crop, plants=count, day=on)
        for (on, crop, kind), count in sorted(plants.items())
    ]


def ready(note: Ask, scene: Scene) -> Outcome:
    """What can be cut now, or by the end of the period named; for one crop that is not ready, when it will be."""
    days = asked_days(note, scene.day, "today")
    by = max(days.last, scene.day)
    state = tasks.state(scene.ledger, scene.vocabulary, scene.day)
    found = ripe_by(state, by, note.crop)
    if found:
        shown, more = shortened(tuple(map(ripe, found)), MOST_RIPE)
        return Outcome((fact("ready" if by == scene.day else "ready_by", day=by, crops=shown, more=more),))
    if note.crop is None:
        return Outcome((fact("none_ready", day=by),))
    return Outcome((_next(note.crop, state),))


def ripe(one: Ripe) -> Fact:
    """A crop that is ready, where, and how many plants."""
    return fact("ripe", crop=one.crop, places=one.places, plants=one.plants)


def _next(crop: str, state: State) -> Fact:
    """When a crop that is not ready will be."""
    growing_on = [
        (cut, one.place)
        for one in state.planted
        if one.crop == crop and one.kind == "tower"
        if (cut := next_cut(state.calendars[crop], one.since, one.cuts, one.last_cut))
    ]
    if not growing_on:
        return fact("none_growing", crop=crop)
    first = min(cut for cut, _ in growing_on)
    return fact("ready_later", crop=crop, day=first, places=tuple(place for cut, place in growing_on if cut == first))
