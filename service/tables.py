"""The service's own tables, in the farm's database: texts in, texts out, open questions, and the ledger of due work."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import Index
from sqlmodel import SQLModel

from core.books.tables.columns import farm_key, instant, json_value, key


class Inbound(SQLModel, table=True):
    """A text as it came in, stored before the carrier hears "yes".

    `id` is the carrier's name and message id ("twilio:SM12…"), once a farm. `done_at` is set in the same transaction as
    the effect; until then the text is finished by the next worker. `reading` is the record of what was understood.
    `trouble` names the class of error that stopped it, for the log; never shown to the sender.
    """

    __table_args__ = (
        Index("ix_inbound_undone", "farm_id", "done_at", "phone"),
        Index("ix_inbound_phone", "farm_id", "phone", "sent_at"),
    )

    farm_id: int = farm_key()
    id: str = key()
    carrier: str
    phone: str
    person_id: int | None = None
    body: str
    media: list[dict[str, str]] = json_value()
    sent_at: datetime = instant()
    received_at: datetime = instant()
    done_at: datetime | None = instant(default=None, nullable=True)
    attempts: int = 0
    reading: dict[str, Any] | None = json_value(default=None, nullable=True)
    trouble: str | None = None


class Outbound(SQLModel, table=True):
    """A text on its way out, written in the transaction of what it reports.

    `kind`: reply, digest, tasks, reminder, announcement, trouble, news. `key` is unique a farm, so that nothing goes
    out twice ("reminder-eve:12:2026-11-25"). `state`: waiting, sending, sent, delivered, failed, unknown (a send that
    timed out: looked up before it is tried again), expired, muted. `carrier_id` is the carrier's id once it has one.
    """

    __table_args__ = (
        Index("ix_outbound_key", "farm_id", "key", unique=True),
        Index("ix_outbound_due", "state", "next_try_at"),
        Index("ix_outbound_carrier_id", "carrier_id"),
        Index("ix_outbound_phone", "farm_id", "phone", "created_at"),
        Index("ix_outbound_reply_to", "farm_id", "reply_to"),
    )

    farm_id: int = farm_key()
    id: int = key()
    key: str
    carrier: str
    phone: str
    person_id: int | None = None
    kind: str
    body: str
    reply_to: str | None = None
    state: str = "waiting"
    carrier_id: str | None = None
    attempts: int = 0
    next_try_at: datetime = instant()
    expires_at: datetime | None = instant(default=None, nullable=True)
    created_at: datetime = instant()
    sent_at: datetime | None = instant(default=None, nullable=True)
    error: str | None = None


class OpenQuestion(SQLModel, table=True):
    """What was last put to a person and not yet answered.

    `about`: a slot that is missing ("crop", "where", "count", …), "confirm", "same" (is it the same cut?), "shift".
    `draft` is the note it is about, `rest` the other notes of the same text that wait with it, `missing` what is still
    to be asked after this. `shift` names the shift of an attendance question. `passed` counts the texts about other
    things since it was asked.
    """

    farm_id: int = farm_key()
    person_id: int = key()
    about: str
    draft: dict[str, Any] | None = json_value(default=None, nullable=True)
    rest: list[dict[str, Any]] = json_value()
    missing: list[str] = json_value()
    shift: str | None = None
    source: str | None = None
    said_at: datetime = instant()
    asked_at: datetime = instant()
    passed: int = 0


class DueWork(SQLModel, table=True):
    """One piece of the clockwork's work, done once: the job, for whom, on which farm-local day, about what."""

    farm_id: int = farm_key()
    job: str = key()
    person_id: int = key()
    day: date = key()
    about: str = key(default="")
    done_at: datetime = instant()
