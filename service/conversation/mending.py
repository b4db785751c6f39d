"""Which of several notes a correction is about: "oops 13 romaine" after "14 romaine and 6 mint"."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import fields, replace

from core.acts.correct import pinned
from core.notes import Correct, Note
from service.understanding.reading import Context, TextReading

Read = Callable[[Context], TextReading]


def against_each(reading: TextReading, context: Context, notes: Sequence[Note], read: Read) -> TextReading:
    """The reading of a correction against that note of the last text which it changes least.

    Args:
        reading: the text read against the newest of the notes; returned as it is where there is but one.
        context: what it was read with.
        notes: all that the last text recorded, the newest first.
        read: reads the text in a context.
    """
    if len(notes) < 2:
        return reading
    tries = [(read(replace(context, last=note)), note) for note in notes]
    found = [(one, note, said) for one, note in tries if (said := _correction(one)) is not None]
    best, note, said = min(found, key=lambda each: _changes(each[2]), default=(reading, notes[0], _correction(reading)))
    if said is None or said.undo:
        return reading
    return replace(best, notes=tuple(pinned(one, note) if one is said else one for one in best.notes))


def is_correction(reading: TextReading) -> bool:
    """Whether a text mends what was recorded before."""
    return _correction(reading) is not None


def _correction(reading: TextReading) -> Correct | None:
    return next((one for one in reading.notes if isinstance(one, Correct) and not one.undo), None)


def _changes(note: Correct) -> tuple[bool, int]:
    """How much a correction changes: another crop most, then by the number of slots."""
    said = [one.name for one in fields(note) if one.name not in ("undo", "was") and getattr(note, one.name)]
    return note.crop is not None, len(said)
