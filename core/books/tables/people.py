"""The people of a farm, what they agreed to, and what was told to all."""

from __future__ import annotations

from datetime import date, datetime, time

from sqlalchemy import Index, text
from sqlmodel import Field, SQLModel

from core.books.tables.columns import farm_key, instant, json_value, key


class Person(SQLModel, table=True):
    """Somebody of the crew, or the guardian of somebody who is.

    `role`: volunteer, lead or coordinator; "guardian" for who is known only as somebody's.
    `age`: adult, retired, minor, or "unknown" until they have told.
    `under_13`: they are not texted first, whatever a guardian says.
    `state`: "here", "asked to join", "declined", "left" or "guardian".
    `muted` is set by STOP and its kin and lifted by START: while it is set nothing is sent to them.
    `agreed` tells whether they agreed to texts nobody asked for (reminders, lists, digests).
    `wakeful`: they chose to be texted in an emergency at any hour.
    `early_at` is the earliest hour they asked to be texted at, if before the usual 08:00.
    `paused`: they want no shifts and no questions about them before `back_on` (None: until they say so).
    `remind_before` is how long before a shift they want to be reminded [min], None for the farm's usual; `eve_reminder`
    and `asked_weekly` whether they want the reminder of the evening before and the weekly question when they can come.
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
    under_13: bool = Field(default=False, sa_column_kwargs={"server_default": text("false")})
    guardian_id: int | None = None
    state: str = "here"
    muted: bool = False
    agreed: bool = False
    wakeful: bool = Field(default=False, sa_column_kwargs={"server_default": text("false")})
    early_at: time | None = None
    paused: bool = Field(default=False, sa_column_kwargs={"server_default": text("false")})
    back_on: date | None = None
    remind_before: int | None = None
    eve_reminder: bool = Field(default=True, sa_column_kwargs={"server_default": text("true")})
    asked_weekly: bool = Field(default=True, sa_column_kwargs={"server_default": text("true")})

    @property
    def grown_up(self) -> bool:
        """Whether they are known to be of age: what is dangerous is for nobody else."""
        return self.age in ("adult", "retired")


class OtherPhone(SQLModel, table=True):
    """A further number somebody texts from (E.164); unasked texts go to the one of `Person`."""

    farm_id: int = farm_key()
    phone: str = key()
    person_id: int


class Training(SQLModel, table=True):
    """A skill (one of core/people.toml) that somebody has: signed off by whom, on which day, until before which day.

    `until` is None for what does not expire; `gone` tells that it was taken away again.
    """

    farm_id: int = farm_key()
    person_id: int = key()
    skill: str = key()
    signed_by: int | None = None
    signed_on: date
    until: date | None = None
    gone: bool = False


class StandInSearch(SQLModel, table=True):
    """Somebody gave up a place on a shift (`swap`: only once another has it), and a stand-in is looked for.

    `off`: they come after all, so that nobody is looked for any more.
    """

    farm_id: int = farm_key()
    shift: str = key()
    person_id: int = key()
    opened_at: datetime | None = instant(default=None, nullable=True)
    swap: bool = False
    off: bool = False


class StandInOffer(SQLModel, table=True):
    """A free place on a shift, offered to somebody in a wave.

    `answer`: "" (none yet), "yes" (the place of `instead_of` is theirs), "no", or "gone" (it was given to another).
    """

    __table_args__ = (Index("ix_stand_in_offer_person", "farm_id", "person_id", "offered_at"),)

    farm_id: int = farm_key()
    shift: str = key()
    person_id: int = key()
    wave: int = 0
    offered_at: datetime | None = instant(default=None, nullable=True)
    answer: str = ""
    answered_at: datetime | None = instant(default=None, nullable=True)
    instead_of: int | None = None


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
