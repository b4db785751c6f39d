"""What waits for an answer: which notes of a text lack what, what to ask for, and the question kept in the books."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from datetime import datetime
from itertools import zip_longest
from typing import Any

from core.books.people import by_handle, person
from core.books.troubles import open_trouble
from core.brief import brief
from core.calendar import instant
from core.notes import FollowUp, Note, from_record, to_record
from core.outcome import Fact, fact
from core.people import first_name
from service.conversation.desk import Desk
from service.tables import OpenQuestion
from service.understanding.reading import TextReading

SLOTS: dict[str, tuple[str, ...]] = {
    "crop": ("crop",),
    "count": ("count", "weight_g", "trays", "up", "minutes"),
    "where": ("where", "to", "places"),
    "when": ("windows", "weekly", "date", "at"),
    "which": ("shift", "n", "all"),
    "what": ("what", "measure", "item", "words", "kind", "about"),
    "unit": ("amount_ml",),
    "value": ("value", "amount_ml", "amount"),
}
"""What can be missing -> the slots, any one of which would fill it."""

NEVER_LACK = {
    *(("harvest", "where"), ("harvest", "unit"), ("loss", "where"), ("gave", "where"), ("calibrated", "where")),
    *(("stock", "crop"), ("trouble", "crop"), ("task", "count"), ("ask", "where"), ("clean", "count")),
    ("move", "count"),
}
"""Acts that are complete without these; they wait for them only when nothing else in the text does."""


@dataclass(frozen=True)
class Waiting:
    """A note that waits, and what it lacks; nothing lacking means it waits its turn or its confirmation.

    `happened_at`: when it was so, where an earlier day was said; `for_id`: whose it is, where not the sender's own.
    """

    note: Note
    missing: tuple[str, ...] = ()
    happened_at: datetime | None = None
    for_id: int | None = None


def told(reading: TextReading, desk: Desk) -> list[Waiting]:
    """The notes of a reading, each with when it was so and whose it is."""
    said = zip_longest(reading.notes, reading.happened_at, reading.for_whom)
    zone = desk.vocabulary.zone
    return [
        Waiting(note, happened_at=at and instant(at.date(), at.time(), zone), for_id=_number_of(whom, desk))
        for note, at, whom in said
    ]


def _number_of(handle: str | None, desk: Desk) -> int | None:
    whom = by_handle(desk.ledger, handle) if handle else None
    return whom.id if whom else None


def lacks(note: Note, missing: Iterable[str]) -> tuple[str, ...]:
    """Which of the things missing in a text this note is without."""
    return tuple(slot for slot in missing if (note.act, slot) not in NEVER_LACK and _is_without(note, slot))


def _is_without(note: Note, slot: str) -> bool:
    own = {one.name for one in fields(note)}
    candidates = [name for name in SLOTS[slot] if name in own]
    return bool(candidates) and all(getattr(note, name) in (None, ()) for name in candidates)


def split(queue: Sequence[Waiting], missing: Sequence[str]) -> tuple[list[Waiting], list[Waiting]]:
    """The notes of a text that are complete, and those that wait for what it lacks (at least one of them does)."""
    waiting = [replace(one, missing=lacks(one.note, missing)) for one in queue]
    if not any(one.missing for one in waiting) and waiting:
        able = next((at for at, one in enumerate(waiting) if any(_is_without(one.note, slot) for slot in missing)), 0)
        waiting[able] = replace(waiting[able], missing=tuple(missing))
    return [one for one in waiting if not one.missing], [one for one in waiting if one.missing]


def includes(note: Note, part: Note) -> bool:
    """Whether a note says all that another does."""
    if type(note) is not type(part):
        return False
    said = [one.name for one in fields(part) if getattr(part, one.name) not in (None, ())]
    return all(getattr(note, name) == getattr(part, name) for name in said)


def completes(note: Note, draft: Note, about: str) -> bool:
    """Whether a note is the draft with what was asked for, or put right in one thing while it was being confirmed."""
    if type(note) is not type(draft):
        return False
    own = [one.name for one in fields(draft)]
    changed = [
        name for name in own if getattr(draft, name) not in (None, ()) and getattr(note, name) != getattr(draft, name)
    ]
    return len(changed) <= (about == "confirm")


def filled(waiting: Sequence[Waiting], slot: str, answer: Note) -> list[Waiting]:
    """The other notes that waited for the same thing, with what the answer gave."""
    given = {one.name: getattr(answer, one.name) for one in fields(answer) if one.name in SLOTS[slot]}
    given = {name: value for name, value in given.items() if value not in (None, ())}
    return [_filled(one, slot, given) for one in waiting]


def _filled(one: Waiting, slot: str, given: dict[str, Any]) -> Waiting:
    own = {name: value for name, value in given.items() if name in {each.name for each in fields(one.note)}}
    if slot not in one.missing or not own:
        return one
    return replace(one, note=replace(one.note, **own), missing=tuple(each for each in one.missing if each != slot))


def question_for(desk: Desk, one: Waiting) -> tuple[Fact, ...]:
    """The question that asks for the first thing a note lacks, in words for its act where there are some."""
    slot = one.missing[0]
    speaker = desk.speaker()
    kind = f"ask_{slot}_{one.note.act}"
    if one.for_id is not None and speaker.knows(f"{kind}_for"):
        kind = f"{kind}_for"
    of = (brief(one.note),) if speaker.knows(f"brief_{one.note.act}") and speaker.say(brief(one.note)) else ()
    return (
        fact(
            kind if speaker.knows(kind) else f"ask_{slot}",
            of=of,
            crop=getattr(one.note, "crop", None),
            whom=first_name(person(desk.ledger, one.for_id).name) if one.for_id is not None else None,
            tanks=tuple(desk.vocabulary.tanks),
            troubles=_troubles(desk) if isinstance(one.note, FollowUp) else (),
        ),
    )


def _troubles(desk: Desk) -> tuple[Fact, ...]:
    """The open troubles to choose from."""
    found = open_trouble(desk.ledger)
    return tuple(fact("trouble_short", n=one.n, kind=one.kind, places=tuple(one.places)) for one in found)


def ask(desk: Desk, queue: Sequence[Waiting], about: str, said_at: datetime, source: str) -> None:
    """Keep the question about the first note of the queue; the others wait behind it. An older question gives way."""
    first = queue[0]
    row = desk.question() or OpenQuestion(
        farm_id=desk.farm.id, person_id=desk.person.id, about="", said_at=said_at, asked_at=said_at
    )
    row.about = about
    row.draft = to_record(first.note)
    row.missing = list(first.missing)
    row.happened_at, row.for_id = first.happened_at, first.for_id
    row.rest = [_kept(one) for one in queue[1:]]
    row.shift = None
    row.source = source
    row.said_at = said_at
    row.asked_at = desk.now
    row.passed = 0
    desk.session.add(row)


def waiting_behind(question: OpenQuestion) -> list[Waiting]:
    """The notes that wait behind the one asked about."""
    return [
        Waiting(from_record(one["note"]), tuple(one["missing"]), _instant(one.get("happened_at")), one.get("for_id"))
        for one in question.rest
    ]


def _kept(one: Waiting) -> dict[str, Any]:
    at = {"happened_at": one.happened_at.isoformat()} if one.happened_at else {}
    whom = {"for_id": one.for_id} if one.for_id is not None else {}
    return {"note": to_record(one.note), "missing": list(one.missing), **at, **whom}


def _instant(text: str | None) -> datetime | None:
    return datetime.fromisoformat(text) if text else None


def close(desk: Desk) -> None:
    """The question is settled."""
    question = desk.question()
    if question is not None:
        desk.session.delete(question)
        desk.session.flush()
