"""What equipment reads, the ranges a farm sets itself, and alarms."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import Index, text
from sqlmodel import SQLModel

from core.books.tables.columns import farm_key, instant, key

FROM_FILE = "file:"
"""How the sources begin that are files taken in once."""


class Sample(SQLModel, table=True):
    """One reading of equipment, in its measure's unit; `place` is a tank or "room", `source` who delivered it.

    Not part of the journal: nobody said it, nothing rests on it, it comes by the thousand, and its key tells a reading
    that is delivered twice. What is wrong in it is taken out by source and time.
    """

    farm_id: int = farm_key()
    measure: str = key()
    place: str = key()
    at: datetime = instant(primary_key=True)
    source: str = key()
    value: float

    @property
    def person_id(self) -> None:
        """Nobody read it."""
        return None

    @property
    def live(self) -> bool:
        """Whether equipment delivers it as it goes; a file of past readings comes once."""
        return not self.source.startswith(FROM_FILE)


class RangeSet(SQLModel, table=True):
    """The range the farm wants of a measure in a tank or "room", whatever grows there.

    `by` is "own" while it holds, "" once the farm goes by its crops again. An open side is None.
    """

    farm_id: int = farm_key()
    measure: str = key()
    place: str = key()
    low: float | None = None
    high: float | None = None
    by: str = ""


class Alarm(SQLModel, table=True):
    """A trouble with a measure in a tank or "room", from when somebody is to be told until it is over.

    `kind`: low, high, missing or stuck. `value` is what was read (None for missing) and `low`, `high` what was wanted
    (None: open). `taken_by` is who said that they see to it, `taken_at` when; `quiet_until`: nobody is told before.
    """

    __table_args__ = (
        Index(
            "ix_alarm_open", "farm_id", "measure", "place", "kind",
            unique=True, sqlite_where=text("over_at IS NULL"), postgresql_where=text("over_at IS NULL"),
        ),
    )  # fmt: skip

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    measure: str
    place: str
    kind: str
    value: float | None = None
    low: float | None = None
    high: float | None = None
    urgent: bool = False
    since: datetime = instant()
    opened_at: datetime = instant()
    over_at: datetime | None = instant(default=None, nullable=True)
    taken_by: int | None = None
    taken_at: datetime | None = instant(default=None, nullable=True)
    quiet_until: datetime | None = instant(default=None, nullable=True)
