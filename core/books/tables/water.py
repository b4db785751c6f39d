"""Readings, what was put into the tanks, calibrations, and trouble."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import Index
from sqlmodel import SQLModel

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
    """A probe was calibrated; `tank` is None where nobody said which."""

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    measure: str
    tank: str | None = None
    at: datetime = instant()


class TroubleReport(SQLModel, table=True):
    """Something is wrong, until somebody closes it."""

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    kind: str
    places: list[str] = json_value()
    crop: str | None = None
    at: datetime = instant()
    person_id: int | None = None
    open: bool = True
