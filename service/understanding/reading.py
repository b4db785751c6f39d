"""What understanding takes and gives: the context of a text, and its reading."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from itertools import zip_longest
from typing import Any, Literal

from core.notes import OF_ONESELF, Note, Record, from_record, to_record

Verdict = Literal["record", "answer", "ask", "none", "keyword"]
Mute = Literal["clear", "bare", "within"]


@dataclass(frozen=True, slots=True)
class ShiftAhead:
    """One of the sender's coming shifts, farm-local."""

    id: str
    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True)
class ListedTask:
    """A task by its number on the list last sent to the sender."""

    n: int
    what: str
    crop: str | None = None
    places: tuple[str, ...] = ()
    trays: float | None = None


@dataclass(frozen=True, slots=True)
class OpenTrouble:
    """An open trouble: its number, kind and places; whether the sender has it (`mine`), or somebody else (`taken`).

    `told`: the sender knows of it from just now, so that "on it" without a name is about it.
    """

    n: int
    kind: str
    places: tuple[str, ...] = ()
    told: bool = False
    mine: bool = False
    taken: bool = False


@dataclass(frozen=True, slots=True)
class Asked:
    """The question last put to the sender: about a shift, or about what a draft note lacks ("confirm": nothing)."""

    about: str
    shift: str | None = None
    draft: Note | None = None


@dataclass(frozen=True, slots=True)
class Context:
    """What the farm knows at that moment that bears on the reading.

    `theirs`: by handle, the coming shifts of those that the sender speaks for, where they speak for somebody.
    """

    shifts: tuple[ShiftAhead, ...] = ()
    theirs: Mapping[str, tuple[ShiftAhead, ...]] = field(default_factory=dict)
    tasks: tuple[ListedTask, ...] = ()
    asked: Asked | None = None
    last: Note | None = None
    troubles: tuple[OpenTrouble, ...] = ()


@dataclass(frozen=True, slots=True)
class TextReading:
    """A text, read. `unknown` holds codes that look like places but are none ("A99"); `language` is the text's own.

    `mute` is set for a text that takes back consent in other words than the carrier's: "clear" ("stop texting me"),
    "bare" ("stop it", and nothing else), "within" ("please stop the pump", of which nothing else was read). `declined`
    is True for one that says no to what was put to the sender for confirmation, or drops it, `answered` for one that
    was read as an answer to what the sender was asked. `happened_at`: beside each note when it was so (naive,
    farm-local), where an earlier day was said; `for_whom` likewise whose it is, by handle, where not the sender's own.
    They are no part of the plain record.
    """

    verdict: Verdict
    notes: tuple[Note, ...] = ()
    missing: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    language: str | None = None
    mute: Mute | None = None
    declined: bool = False
    answered: bool = False
    happened_at: tuple[datetime | None, ...] = ()
    for_whom: tuple[str | None, ...] = ()

    def own(self) -> TextReading:
        """Without notes of the time of others: the plain record has no slot for whom, they would be the sender's."""
        kept = [
            (note, whom)
            for note, whom in zip_longest(self.notes, self.for_whom)
            if whom is None or not isinstance(note, OF_ONESELF)
        ]
        if len(kept) == len(self.notes):
            return self
        notes = tuple(note for note, _ in kept)
        return replace(
            self, verdict=self.verdict if notes else "none", notes=notes, missing=self.missing if notes else ()
        )

    def record(self) -> Record:
        """The reading as the shared plain record."""
        return {
            "verdict": self.verdict,
            "notes": [to_record(note) for note in self.notes],
            "missing": list(self.missing),
        }


def context_from_record(record: Mapping[str, Any] | None) -> Context:
    """The context of a labelled message."""
    if not record:
        return Context()
    asked = record.get("asked")
    last = record.get("last")
    return Context(
        shifts=tuple(
            ShiftAhead(one["id"], datetime.fromisoformat(one["start"]), datetime.fromisoformat(one["end"]))
            for one in record.get("shifts", ())
        ),
        tasks=tuple(
            ListedTask(one["n"], one["what"], one.get("crop"), tuple(one.get("places", ())), one.get("trays"))
            for one in record.get("tasks", ())
        ),
        asked=Asked(asked["about"], asked.get("shift"), from_record(asked["draft"]) if asked.get("draft") else None)
        if asked
        else None,
        last=from_record(last) if last else None,
        troubles=tuple(
            OpenTrouble(**{**one, "places": tuple(one.get("places", ()))}) for one in record.get("troubles", ())
        ),
    )
