"""Taking a person out of the books: what they did still counts, who they were is gone, and tables and journal agree.

This is the one place that rewrites the journal, and the one thing in it that cannot be taken back. Numbers, dates and
places stay in every entry; names, telephone numbers and words of the person's own are taken out of entries, postings
and rows alike.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Text, cast, or_
from sqlmodel import SQLModel, col, select

from core.books.ledger import ACCOUNTS, Ledger, Told, from_plain, row_key
from core.books.tables import Announcement, Entry, Person, Posting, Shift, ShiftPattern, ShiftPlace, Task
from core.books.tables.farm import key_of

GONE = "(erased)"
"""What stands where a name or number was."""

KEPT = ("id", "role", "state", "muted", "agreed")
"""What the record of an erased person still says of their time here. Every other column goes back to its default."""

WORDS = ("body", "words", "name")
"""Keys whose value is free text: names are looked for in these, telephone numbers everywhere."""


@dataclass(frozen=True, slots=True)
class Traces:
    """By what a person is known: `names` as they would stand in a text, and a telephone number."""

    names: tuple[str, ...]
    phone: str | None

    def mended(self, value: Any, *, free: bool = False) -> Any:
        """A plain value without them; `free` is whether it is free text, in which names are looked for too."""
        if isinstance(value, str):
            return self._text(value, free=free)
        if isinstance(value, list):
            return [self.mended(one, free=free) for one in value]
        if isinstance(value, dict):
            return {name: self.mended(one, free=name in WORDS) for name, one in value.items()}
        return value

    def _text(self, text: str, *, free: bool) -> str:
        if self.phone:
            text = text.replace(self.phone, GONE)
        for name in self.names if free else ():
            text = _without_word(text, name)
        return text


def traces_of(person: Person) -> Traces:
    """The full name, the first name and the number of somebody, the longest name first."""
    names = {person.name, person.name.split()[0]} if person.name.strip() else set()
    return Traces(tuple(sorted(names, key=len, reverse=True)), person.phone)


def _without_word(text: str, word: str) -> str:
    """The text without a word or name that stands by itself in it."""
    parts = text.split(word)
    kept = parts[0]
    for part in parts[1:]:
        alone = not kept[-1:].isalnum() and not part[:1].isalnum()
        kept += (GONE if alone else word) + part
    return kept


def erase(ledger: Ledger, person: Person, told: Told) -> Traces:
    """Take a person out of the farm and out of its journal; what they were known by, for whoever keeps more of them.

    Whoever is in the books only as this person's guardian is not touched; a minor whose guardian goes is no longer
    texted unasked.
    """
    traces = traces_of(person)
    _end(ledger, person, told)
    blank = _blank(person)
    for posting in _postings(ledger, Posting.account == "person", Posting.row == str(person.id)):
        changed = {name: blank[name] for name in posting.value if name in blank}
        posting.value = {**posting.value, **changed}
    for name, value in blank.items():
        setattr(person, name, value)
    _forget_words(ledger, person.id)
    _mend_everywhere(ledger, traces)
    ledger.session.flush()
    return traces


def _blank(person: Person) -> dict[str, Any]:
    """Every column that could tell who it was, at its default."""
    fresh = Person(farm_id=person.farm_id, id=person.id, handle=f"erased-{person.id}", name=GONE)
    return {name: getattr(fresh, name) for name in Person.model_fields if name not in (*KEPT, "farm_id")}


def _end(ledger: Ledger, person: Person, told: Told) -> None:
    """They are of the crew no more: no shift, no task and no text waits for them."""
    writing = ledger.enter("erase", told)
    writing.put(Person, {"id": person.id}, state="left", agreed=False, muted=True, **_blank(person))
    for ward in _of(ledger, Person, Person.guardian_id == person.id):
        writing.put(Person, {"id": ward.id}, agreed=False, guardian_id=None)
    ahead = [one.id for one in _of(ledger, Shift, col(Shift.starts_at) > told.now)]
    for place in _of(ledger, ShiftPlace, ShiftPlace.person_id == person.id, col(ShiftPlace.shift).in_(ahead)):
        writing.put(ShiftPlace, {"shift": place.shift, "person_id": person.id}, answer="no")
    for pattern in _of(ledger, ShiftPattern):
        if person.id in pattern.usual:
            writing.put(ShiftPattern, {"id": pattern.id}, usual=[one for one in pattern.usual if one != person.id])
    for task in _of(ledger, Task, Task.taken_by == person.id, Task.state != "done"):
        writing.put(Task, {"id": task.id}, taken_by=None)


def _forget_words(ledger: Ledger, person_id: int) -> None:
    """What they announced, in their own words."""
    theirs = _of(ledger, Entry, Entry.person_id == person_id, Entry.act == "announce")
    for entry in theirs:
        entry.note = {**entry.note, "words": GONE}
    numbers = [entry.n for entry in theirs]
    for posting in _postings(ledger, Posting.account == "announcement", col(Posting.entry).in_(numbers)):
        posting.value = {**posting.value, "words": GONE}
    for row in _of(ledger, Announcement, col(Announcement.entry).in_(numbers)):
        row.words = GONE


def _mend_everywhere(ledger: Ledger, traces: Traces) -> None:
    """Names and numbers out of every entry, posting and ledgered row that holds them; keys of rows stay."""
    for entry in _of(ledger, Entry, holds(cast(col(Entry.note), Text), traces)):
        entry.note = traces.mended(entry.note)
    touched = set()
    for posting in _postings(ledger, holds(cast(col(Posting.value), Text), traces)):
        keys = {column.name for column in ACCOUNTS[posting.account].__table__.primary_key}
        mended = traces.mended(posting.value)
        posting.value = {name: posting.value[name] if name in (*keys, "key") else mended[name] for name in mended}
        touched.add((posting.account, posting.row))
    ledger.session.flush()
    for account, row in touched:
        table = ACCOUNTS[account]
        stored = ledger.session.get(table, row_key(table, ledger.farm_id, row))
        if stored is not None:
            mend_row(stored, lambda name, value: traces.mended(value, free=name in WORDS))


def mend_row(row: SQLModel, mended: Callable[[str, Any], Any]) -> None:
    """Put each text or JSON column of a row right, its key left as it is."""
    keys = {*key_of(row), "farm_id"}
    for name in type(row).model_fields:
        value = getattr(row, name)
        if name not in keys and isinstance(value, (str, list, dict)) and (new := mended(name, value)) != value:
            setattr(row, name, from_plain(type(row), {name: new})[name] if isinstance(new, str) else new)


def holds(column: Any, traces: Traces) -> Any:
    """Whether a column of text, or of JSON as text, may hold a name or the number."""
    looked_for = {*traces.names, *((traces.phone,) if traces.phone else ())}
    as_json = {json.dumps(word)[1:-1] for word in looked_for}
    return or_(*(column.contains(word, autoescape=True) for word in sorted(looked_for | as_json)))


def _of(ledger: Ledger, table: Any, *where: Any) -> list[Any]:
    return list(ledger.session.exec(select(table).where(table.farm_id == ledger.farm_id, *where)))


def _postings(ledger: Ledger, *where: Any) -> Iterable[Posting]:
    return _of(ledger, Posting, *where)
