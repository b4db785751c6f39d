"""Readings, what was put into the tanks, calibrations, and trouble."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import Index
from sqlmodel import Field, SQLModel

from core.books.tables.columns import farm_key, instant, json_value, key


class Measured(SQLModel, table=True):
    """One reading, in its measure's unit; `place` is a tank or "room"."""

    __table_args__ = (Index("ix_measured_latest", "farm_id", "measure", "place", "at"),)

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    measure: str
    value: float
    place: str
    at: datetime = instant()
    person_id: int | None = None


class Addition(SQLModel, table=True):
    """Millilitres of something put into a tank."""

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    item: str
    amount_ml: float
    tank: str
    at: datetime = instant()


class Calibration(SQLModel, table=True):
    """A probe was calibrated; `tank` is None where nobody said which.

    `slope_pct`, `offset_mv` (pH probes) and `verdict` are what it came to, `shown` what the probe showed in the
    `standards` (pH or uS/cm, in the same order); all absent where somebody only said that it was done.
    """

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    measure: str
    tank: str | None = None
    at: datetime = instant()
    slope_pct: float | None = None
    offset_mv: float | None = None
    verdict: str | None = None
    standards: list[float] | None = json_value(default=None, nullable=True)
    shown: list[float] | None = json_value(default=None, nullable=True)


class TroubleReport(SQLModel, table=True):
    """Something is wrong, until somebody closes it. `n` is the number people know it by.

    What its reporter wrote is not kept here: it is the text that the entry names as its source.
    """

    __table_args__ = (Index("ix_troublereport_n", "farm_id", "n"),)

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    kind: str
    places: list[str] = json_value()
    crop: str | None = None
    at: datetime = instant()
    person_id: int | None = None
    open: bool = True
    n: int = Field(default=0, sa_column_kwargs={"server_default": "0"})
    taken_by: int | None = None
    taken_at: datetime | None = instant(default=None, nullable=True)
    closed_by: int | None = None
    closed_at: datetime | None = instant(default=None, nullable=True)


class TroubleStep(SQLModel, table=True):
    """What somebody said of trouble `n` later: "same" (they saw it too), "still", "photo", "take" or "fixed"."""

    __table_args__ = (Index("ix_troublestep_n", "farm_id", "n"),)

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    n: int
    step: str
    at: datetime = instant()
    person_id: int | None = None
