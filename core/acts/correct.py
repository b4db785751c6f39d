"""Taking back and mending what was recorded last."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import fields, replace
from datetime import timedelta
from typing import Any

from sqlmodel import col, select
from sqlmodel.sql.expression import SelectOfScalar

from core.acts import rostering
from core.acts import trouble as troubled
from core.acts.coordinating import expected
from core.acts.scene import Scene
from core.books.ledger import Told
from core.books.tables import Entry
from core.brief import brief
from core.errors import Refused
from core.notes import NOTES, Announce, Closed, Correct, FollowUp, MakeRoster, Note, Trouble, from_record
from core.outcome import News, Outcome, fact

Carry = Callable[[Note, Scene], Outcome]

UNDO_WITHIN = timedelta(hours=2)
"""What was said longer ago than this is taken back only when confirmed. Common practice, no source."""


def last_entries(scene: Scene) -> Sequence[Entry]:
    """What the sender recorded with their last text that still stands, the newest first."""
    return _like_newest(scene, "source")


def mendable(scene: Scene) -> Sequence[Entry]:
    """What a correction can be about: all that was said at once with the last record, mended since or not."""
    return _like_newest(scene, "said_at")


def _like_newest(scene: Scene, column: str) -> Sequence[Entry]:
    """The sender's newest record and those that share a column's value with it."""
    newest = scene.ledger.session.exec(_standing(scene).limit(1)).first()
    if newest is None:
        return ()
    return scene.ledger.session.exec(_standing(scene).where(getattr(Entry, column) == getattr(newest, column))).all()


def _standing(scene: Scene) -> SelectOfScalar[Entry]:
    """The sender's records that were not taken back, the newest first."""
    reversed_ = select(Entry.reverses).where(Entry.farm_id == scene.ledger.farm_id, col(Entry.reverses).is_not(None))
    return (
        select(Entry)
        .where(Entry.farm_id == scene.ledger.farm_id, Entry.person_id == scene.told.person_id)
        .where(col(Entry.source).is_not(None), col(Entry.act).in_(NOTES), col(Entry.n).not_in(reversed_))
        .where(col(Entry.said_at) <= scene.told.said_at)  # a text that came in late is not about what was said after it
        .order_by(col(Entry.n).desc())
    )


def correct(note: Correct, scene: Scene, carry_out: Carry) -> Outcome:
    """Take back the sender's last text, or mend the note in it that has the slots said.

    Raises:
        Refused: "nothing_to_undo", "built_upon", or what the mended note itself is refused for.
    """
    entries = last_entries(scene) if note.undo else mendable(scene)
    if not entries:
        raise Refused("nothing_to_undo")
    if note.undo:
        return _undo(entries, scene)
    entry, mended = _mended(note, entries)
    scene.ledger.reverse(entry.n, scene.told)
    # The mended note keeps the time and text of the first saying: it is the same report.
    first = Told(entry.person_id, entry.said_at, scene.told.now, scene.told.source, entry.happened_at, entry.for_id)
    outcome = carry_out(mended, replace(scene, told=first))
    return replace(outcome, facts=(fact("mended", now=outcome.facts),)) if outcome.facts else outcome


def _undo(entries: Sequence[Entry], scene: Scene) -> Outcome:
    """Take back all of one text; one said long ago, or right after another undo, only when its sender is sure."""
    taken = tuple(brief(from_record(entry.note)) for entry in reversed(entries))
    if not scene.sure and (scene.told.said_at - entries[0].said_at > UNDO_WITHIN or _just_undid(entries[0], scene)):
        return Outcome(doubts=(fact("doubt_undo", taken=taken, at=entries[0].said_at),))
    notes = [from_record(entry.note) for entry in entries]
    off = tuple(piece for entry, one in zip(entries, notes, strict=True) for piece in _trouble_off(entry, one, scene))
    for entry in entries:
        scene.ledger.reverse(entry.n, scene.told)
    remarks = (fact("told_already"),) if any(isinstance(one, Announce) for one in notes) else ()
    news = tuple(piece for one in notes for piece in _news(one, scene))
    return Outcome((fact("undone", taken=taken),), remarks, entry=entries[0].n, news=(*off, *news))


def _just_undid(entry: Entry, scene: Scene) -> bool:
    """Whether the sender took something back after this entry was written."""
    query = select(Entry.n).where(
        Entry.farm_id == scene.ledger.farm_id,
        Entry.person_id == scene.told.person_id,
        col(Entry.reverses).is_not(None),
        col(Entry.n) > entry.n,
    )
    return scene.ledger.session.exec(query).first() is not None


def _news(note: Note, scene: Scene) -> Iterator[News]:
    """Those who were told of something hear that it is off."""
    if isinstance(note, Closed):
        day = note.date or scene.day
        told = fact("open_again_news", day=day)
        yield from (News(told, person_id=one) for one in sorted(expected(day, scene)))
    elif isinstance(note, MakeRoster):
        yield from rostering.taken_back(note, scene)


def _trouble_off(entry: Entry, note: Note, scene: Scene) -> tuple[News, ...]:
    """Who was told of trouble hears that it is off; looked up while it is still on the books."""
    if isinstance(note, Trouble):
        return troubled.taken_back(entry.n, scene)
    return troubled.step_taken_back(note, scene) if isinstance(note, FollowUp) else ()


def _mended(note: Correct, entries: Sequence[Entry]) -> tuple[Entry, Note]:
    """The entry meant (that with the old value, else the newest that has the slots) and its note put right."""
    slots = _said(note)
    found = [(entry, from_record(entry.note)) for entry in entries]
    found = [(entry, old) for entry, old in found if set(_aliased(old, slots)) == set(slots)]
    if not found or not slots:
        raise Refused("nothing_to_mend")
    for entry, old in found:
        if note.was is not None and any(getattr(old, name, None) == note.was for name in _aliased(old, slots).values()):
            return entry, _with(old, slots)
    return found[0][0], _with(found[0][1], slots)


def mended_by(old: Note, note: Correct) -> Note | None:
    """A note put right by a correction; None where it has not all the slots that the correction is about."""
    slots = _said(note)
    return _with(old, slots) if slots and set(_aliased(old, slots)) == set(slots) else None


def pinned(note: Correct, old: Note) -> Correct:
    """A correction that names what it mends: where nobody said the old value, that of the note it is meant for."""
    names = list(_aliased(old, _said(note)).values())
    return replace(note, was=getattr(old, names[0])) if names and note.was is None else note


def _said(note: Correct) -> dict[str, Any]:
    slots = {one.name: getattr(note, one.name) for one in fields(note) if one.name not in ("undo", "was")}
    return {name: value for name, value in slots.items() if value not in (None, ())}


NUMBERS = ("count", "value", "amount", "amount_ml", "up", "minutes", "trays")
SAME_SLOT = {"count": NUMBERS, "value": ("value", "amount_ml", *NUMBERS), "places": ("places", "to")}
"""What a corrected number may stand for, by the kind of note it mends."""


def _aliased(old: Note, slots: dict[str, object]) -> dict[str, str]:
    """Slot said -> the slot of the old note it mends, the one that held a value first."""
    own = {one.name for one in fields(old)}
    chosen = {}
    for name in slots:
        candidates = [one for one in SAME_SLOT.get(name, (name,)) if one in own]
        filled = [one for one in candidates if getattr(old, one) not in (None, ())]
        if filled or candidates:
            chosen[name] = (filled or candidates)[0]
    return chosen


def _with(old: Note, slots: dict[str, object]) -> Note:
    names = _aliased(old, slots)
    return replace(old, **{names[name]: value for name, value in slots.items()})
