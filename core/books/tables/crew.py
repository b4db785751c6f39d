"""Who comes when, and what is to be done: shifts, places on them, availability, visits, hours and tasks."""

from __future__ import annotations

from datetime import date, datetime, time

from sqlalchemy import ForeignKeyConstraint, Index, text
from sqlmodel import Field, SQLModel

from core.books.tables.columns import farm_key, instant, json_list, json_value, key


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
    """One shift and how many people it needs.

    `minutes` of work for one person, `skills` that somebody on it has to have and `adults` (all of it is work for
    adults alone) are those of the work it was last shaped by.
    """

    __table_args__ = (Index("ix_shift_starts", "farm_id", "starts_at"),)

    farm_id: int = farm_key()
    id: str = key()
    starts_at: datetime = instant()
    ends_at: datetime = instant()
    needed: int
    minutes: int = Field(default=0, sa_column_kwargs={"server_default": "0"})
    skills: list[str] = json_list()
    adults: bool = Field(default=False, sa_column_kwargs={"server_default": text("false")})


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
    """Minutes worked on a farm-local day, as reported or from arriving to leaving (`source` "said" or "visit").

    `approved_by` is the lead who looked at what was reported; None while nobody has.
    """

    __table_args__ = (Index("ix_worked_person", "farm_id", "person_id", "on"),)

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    person_id: int
    minutes: float
    on: date
    source: str
    approved_by: int | None = None


class Task(SQLModel, table=True):
    """Work that falls due on a day. `state`: "open", "started", "partial" or "done".

    `what` is a kind of core/tasks.toml. `done_units` is how much of it was said to be done; `started_at` and
    `started_by` who began it when; `took_minutes` how long it took one person, as said or from begin to end.
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
    started_at: datetime | None = instant(default=None, nullable=True)
    started_by: int | None = None
    took_minutes: float | None = None


class ListedTask(SQLModel, table=True):
    """The number a task has for a person; it is the same all of the day `on`."""

    farm_id: int = farm_key()
    person_id: int = key()
    n: int = key()
    task: int
    on: date | None = None
