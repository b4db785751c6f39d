"""The people of a farm, what they agreed to, and what was told to all."""

from __future__ import annotations

from datetime import datetime, time

from sqlalchemy import Index
from sqlmodel import SQLModel

from core.books.tables.columns import farm_key, instant, json_value, key


class Person(SQLModel, table=True):
    """Somebody of the crew.

    `role`: volunteer, lead or coordinator. `age`: adult, retired or minor. `state`: "here", "asked to join" or "left".
    `muted` is set by STOP and its kin and lifted by START: while it is set nothing is sent to them.
    `agreed` tells whether they agreed to texts nobody asked for (reminders, lists, digests).
    `early_at` is the earliest hour they asked to be texted at, if before the usual 08:00.
    """

    __table_args__ = (Index("ix_person_phone", "farm_id", "phone", unique=True),)

    farm_id: int = farm_key()
    id: int = key()
    handle: str
    name: str
    phone: str | None = None
    role: str = "volunteer"
    language: str = "en"
    age: str = "adult"
    guardian_id: int | None = None
    state: str = "here"
    muted: bool = False
    agreed: bool = False
    early_at: time | None = None


class Consent(SQLModel, table=True):
    """One agreement or its revocation: the wording shown, how it came, and when."""

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    person_id: int
    agreed: bool
    wording: str
    source: str
    at: datetime = instant()


class Announcement(SQLModel, table=True):
    """What a coordinator told people: `reached` are the persons it was sent to."""

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    words: str
    reached: list[int] = json_value()
    at: datetime = instant()
