"""What readers hand back: a note as far as it could be read, and what has to be asked."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from core.notes import Note
from service.understanding.reading import Context
from service.understanding.sheet import Clause, Sheet


@dataclass(frozen=True, slots=True)
class Found:
    """One note, where in the text it begins, and the slots that it lacks.

    `happened_at`: when it was so (naive, farm-local), where an earlier day was said; `for_whom` whose it is, by handle,
    where it is not the sender's own.
    """

    note: Note
    missing: tuple[str, ...] = ()
    start: int = 0
    happened_at: datetime | None = None
    for_whom: str | None = None


@dataclass(frozen=True, slots=True)
class Told:
    """Everything a reader may look at besides the clause itself.

    `sent` is farm-local and naive; `sender` one of the farm's people.
    """

    sheet: Sheet
    sent: datetime
    sender: str
    context: Context


@dataclass(frozen=True, slots=True)
class Report:
    """A stretch of the text that tells one kind of thing."""

    kind: str
    clause: Clause
    before: Report | None = None
