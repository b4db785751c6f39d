"""Taking back and mending what was recorded last."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import fields, replace

from sqlmodel import col, select

from core.acts.scene import Scene
from core.books.ledger import Told
from core.books.tables import Entry
from core.brief import brief
from core.errors import Refused
from core.notes import NOTES, Correct, Note, from_record
from core.outcome import Outcome, fact

Carry = Callable[[Note, Scene], Outcome]


def last_entries(scene: Scene) -> Sequence[Entry]:
    """What the sender recorded with their last text that still stands, the newest first."""
    reversed_ = select(Entry.reverses).where(Entry.farm_id == scene.ledger.farm_id, col(Entry.reverses).is_not(None))
    query = (
        select(Entry)
        .where(Entry.farm_id == scene.ledger.farm_id, Entry.person_id == scene.told.person_id)
        .where(col(Entry.source).is_not(None), col(Entry.act).in_(NOTES), col(Entry.n).not_in(reversed_))
        .order_by(col(Entry.n).desc())
    )
    newest = scene.ledger.session.exec(query.limit(1)).first()
    if newest is None:
        return ()
    return scene.ledger.session.exec(query.where(Entry.source == newest.source)).all()


def correct(note: Correct, scene: Scene, carry_out: Carry) -> Outcome:
    """Take back the sender's last text, or mend the note in it that has the slots said.

    Raises:
        Refused: "nothing_to_undo", "built_upon", or what the mended note itself is refused for.
    """
    entries = last_entries(scene)
    if not entries:
        raise Refused("nothing_to_undo")
    if note.undo:
        for entry in entries:
            scene.ledger.reverse(entry.n, scene.told)
        taken = tuple(brief(from_record(entry.note)) for entry in reversed(entries))
        return Outcome((fact("undone", taken=taken),), entry=entries[0].n)
    entry, mended = _mended(note, entries)
    scene.ledger.reverse(entry.n, scene.told)
    # The mended note keeps the time and text of the first saying: it is the same report.
    again = replace(scene, told=Told(entry.person_id, entry.said_at, scene.told.now, scene.told.source))
    outcome = carry_out(mended, again)
    return replace(outcome, facts=(fact("mended", now=outcome.facts),)) if outcome.facts else outcome


def _mended(note: Correct, entries: Sequence[Entry]) -> tuple[Entry, Note]:
    """The entry meant (that with the old value, else the newest that has the slots) and its note put right."""
    slots = {one.name: getattr(note, one.name) for one in fields(note) if one.name not in ("undo", "was")}
    slots = {name: value for name, value in slots.items() if value not in (None, ())}
    found = [(entry, from_record(entry.note)) for entry in entries]
    found = [(entry, old) for entry, old in found if set(_aliased(old, slots)) == set(slots)]
    if not found or not slots:
        raise Refused("nothing_to_mend")
    for entry, old in found:
        if note.was is not None and any(getattr(old, name, None) == note.was for name in _aliased(old, slots).values()):
            return entry, _with(old, slots)
    return found[0][0], _with(found[0][1], slots)


SAME_SLOT = {
    "count": ("count", "amount", "up", "minutes", "trays"),
    "value": ("value", "amount_ml"),
    "places": ("places", "to"),
}
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
