"""Who comes when, and what is to be done: shifts, places on them, availability, visits, hours and tasks."""

from __future__ import annotations

from datetime import date, datetime, time

from sqlalchemy import ForeignKeyConstraint, Index
from sqlmodel import SQLModel

from core.books.tables.columns import farm_key, instant, json_value, key


class ShiftPattern(SQLModel, table=True):
    """A shift that is there every week; `usual` are the persons usually on it."""

    farm_id: int = farm_key()
    id: int = key()
    day: str
    start: time
    end: time
    needed: int
    usual: list[int] = json_value()


class Shift(SQLModel, table=True):
    """One shift and how many people it needs."""

    __table_args__ = (Index("ix_shift_starts", "farm_id", "starts_at"),)

    farm_id: int = farm_key()
    id: str = key()
    starts_at: datetime = instant()
    ends_at: datetime = instant()
    needed: int


class ShiftPlace(SQLModel, table=True):
    """A person's place on a shift. `answer`: "" (not yet), "yes", "no", "late" (by `minutes`) or "swap"."""

    __table_args__ = (
        ForeignKeyConstraint(["farm_id", "shift"], ["shift.farm_id", "shift.id"]),
        Index("ix_shift_place_person", "farm_id", "person_id"),
    )

    farm_id: int = farm_key()
    shift: str = key()
    person_id: int = key()
    answer: str = ""
    minutes: float | None = None


class Availability(SQLModel, table=True):
    """When somebody can (`free`) or cannot come: one window, or the same one every week until a day."""

    __table_args__ = (Index("ix_availability_person", "farm_id", "person_id"),)

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    person_id: int
    free: bool
    starts_at: datetime | None = instant(default=None, nullable=True)
    ends_at: datetime | None = instant(default=None, nullable=True)
    day: str | None = None
    start: time | None = None
    end: time | None = None
    until: date | None = None


class Visit(SQLModel, table=True):
    """Somebody arrived or left (`kind` "arrive" or "leave")."""

    __table_args__ = (Index("ix_visit_person", "farm_id", "person_id", "at"),)

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    person_id: int
    kind: str
    at: datetime = instant()


class WorkedHours(SQLModel, table=True):
    """Minutes worked on a farm-local day, as reported or from arriving to leaving (`source` "said" or "visit")."""

    __table_args__ = (Index("ix_worked_person", "farm_id", "person_id", "on"),)

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    person_id: int
    minutes: float
    on: date
    source: str


class Task(SQLModel, table=True):
    """Work that falls due on a day. `state`: "open", "started", "partial" or "done".

    `what`: harvest, clean, move, sow, uncover, check or calibrate. `units` done so far count in `done_units`.
    """

    __table_args__ = (Index("ix_task_day", "farm_id", "day", "state"),)

    farm_id: int = farm_key()
    id: int = key()
    day: date
    what: str
    crop: str | None = None
    places: list[str] = json_value()
    trays: float | None = None
    minutes: int
    state: str = "open"
    done_units: float | None = None
    taken_by: int | None = None


class ListedTask(SQLModel, table=True):
    """The number a task has on the list last sent to a person."""

    farm_id: int = farm_key()
    person_id: int = key()
    n: int = key()
    task: int
