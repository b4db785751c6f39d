"""The service's own tables, in the farm's database: texts in, texts out, open questions, and the ledger of due work."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import Index, text
from sqlmodel import SQLModel

from core.books.tables.columns import farm_key, instant, json_value, key


def _unfinished(name: str, *columns: str, where: str) -> Index:
    """An index of only what is still to be done: so small that a worker may look through all of it, for every farm."""
    return Index(name, *columns, sqlite_where=text(where), postgresql_where=text(where))


class Inbound(SQLModel, table=True):
    """A text as it came in, stored before the carrier hears "yes".

    `id` is the carrier's name and message id ("twilio:SM12…"), once a farm. `done_at` is set in the same transaction as
    the effect; until then the text is finished by the next worker. `reading` is the record of what was understood.
    `trouble` names the class of error that stopped it, for the log; never shown to the sender. `settled_at` is when a
    coordinator saw to a text that was not understood.
    """

    __table_args__ = (
        _unfinished("ix_inbound_undone", "farm_id", "phone", "sent_at", where="done_at IS NULL"),
        Index("ix_inbound_phone", "farm_id", "phone", "sent_at"),
        Index("ix_inbound_received", "farm_id", "received_at"),
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
    settled_at: datetime | None = instant(default=None, nullable=True)


class Outbound(SQLModel, table=True):
    """A text on its way out, written in the transaction of what it reports.

    `kind`: reply, digest, tasks, reminder, announcement, trouble, news, code (to sign in; its words are shown to nobody
    else). `key` is unique a farm, so that nothing goes
    out twice ("reminder-eve:12:2026-11-25"). `state`: waiting, sending, sent, delivered, failed, unknown (a send that
    timed out: looked up before it is tried again), expired, muted. `carrier_id` is the carrier's id once it has one.
    `media` are addresses of pictures that go with it.
    """

    __table_args__ = (
        Index("ix_outbound_key", "farm_id", "key", unique=True),
        _unfinished("ix_outbound_due", "farm_id", "next_try_at", where="state IN ('waiting', 'unknown', 'sending')"),
        Index("ix_outbound_carrier_id", "farm_id", "carrier_id"),
        Index("ix_outbound_phone", "farm_id", "phone", "created_at"),
        Index("ix_outbound_reply_to", "farm_id", "reply_to"),
        Index("ix_outbound_created", "farm_id", "created_at"),
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
    media: list[str] = json_value(default_factory=list, sa_column_kwargs={"server_default": "[]"})


class OpenQuestion(SQLModel, table=True):
    """What was last put to a person and not yet answered.

    `about`: a slot that is missing ("crop", "where", "count", …), "confirm", "same" (is it the same cut?), "shift",
    "code" (what shows that the phone is theirs).
    `draft` is the note it is about, `happened_at` when that was so, where an earlier day was said, `for_id` whose
    it is, where the sender spoke for somebody; `rest` the other
    notes of the same text that wait with it, `missing` what is still to be asked after this. `shift` names the shift of
    an attendance question. `passed` counts the texts about other things since it was asked.
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
    happened_at: datetime | None = instant(default=None, nullable=True)
    for_id: int | None = None
    asked_at: datetime = instant()
    passed: int = 0


class Proof(SQLModel, table=True):
    """Whether a person's phone has shown to be theirs: the code last sent to it for a `note`, and when it came back.

    `code` and `note` are None once the code was used, refused or guessed at too often (`wrong` times).
    """

    farm_id: int = farm_key()
    person_id: int = key()
    code: str | None = None
    note: dict[str, Any] | None = json_value(default=None, nullable=True)
    sent_at: datetime = instant()
    wrong: int = 0
    proved_at: datetime | None = instant(default=None, nullable=True)


class EquipmentKey(SQLModel, table=True):
    """What equipment shows when it delivers readings, by its `name`: the digest of its secret."""

    __table_args__ = (Index("ix_equipment_key_digest", "farm_id", "digest", unique=True),)

    farm_id: int = farm_key()
    name: str = key()
    digest: str
    made_at: datetime = instant()
    used_at: datetime | None = instant(default=None, nullable=True)


class DueWork(SQLModel, table=True):
    """One piece of the clockwork's work, done once: the job, for whom, on which farm-local day, about what."""

    farm_id: int = farm_key()
    job: str = key()
    person_id: int = key()
    day: date = key()
    about: str = key(default="")
    done_at: datetime = instant()


class SignInCode(SQLModel, table=True):
    """A code that somebody asked for to see the board; the newest of a number is the one that opens.

    Kept for numbers that nobody has too, so that asking takes as long for them. `code_hash` is salted; `tries` counts
    the answers given, right or wrong.
    """

    __table_args__ = (Index("ix_sign_in_code_phone", "farm_id", "phone", "asked_at"),)

    farm_id: int = farm_key()
    id: int = key()
    phone: str
    code_hash: str
    asked_at: datetime = instant()
    tries: int = 0
    used: bool = False


class SignedIn(SQLModel, table=True):
    """Somebody signed in on the board with one browser: its secret, hashed, the language it reads, since when."""

    __table_args__ = (Index("ix_signed_in_person", "farm_id", "person_id"),)

    farm_id: int = farm_key()
    token_hash: str = key()
    person_id: int
    language: str
    began_at: datetime = instant()
    seen_at: datetime = instant()


class DeadNumber(SQLModel, table=True):
    """A number that by its carrier's word gets no texts (`reason`: invalid, landline, blocked), until it texts us."""

    farm_id: int = farm_key()
    phone: str = key()
    reason: str
    since: datetime = instant()


class Pace(SQLModel, table=True):
    """When a farm's number is free for the next text that nobody waits for: carriers bound the segments a second."""

    farm_id: int = farm_key()
    carrier: str = key()
    free_at: datetime = instant()


class Heard(SQLModel, table=True):
    """Up to when a carrier's own list of the texts to a farm was compared with those that were handed over."""

    farm_id: int = farm_key()
    carrier: str = key()
    until: datetime = instant()


class Link(SQLModel, table=True):
    """An address that is its own key: what it leads to, kept under the digest of its secret part (`service.links`)."""

    __table_args__ = (Index("ix_link_person", "farm_id", "person_id", "kind"),)

    farm_id: int = farm_key()
    digest: str = key()
    kind: str
    about: dict[str, Any] = json_value()
    person_id: int
    made_at: datetime = instant()
    expires_at: datetime | None = instant(default=None, nullable=True)


class Photo(SQLModel, table=True):
    """A picture that came with a text: the `part`th of `inbound`. `n` is the trouble it shows, where that is known.

    `state`: waiting (to be fetched from its carrier at `url`), kept (its bytes are a `PhotoFile`), refused (no picture
    we open; `error` says why) or failed (it could not be had). The address is forgotten with the last attempt.
    """

    __table_args__ = (
        _unfinished("ix_photo_waiting", "farm_id", "next_try_at", where="state = 'waiting'"),
        Index("ix_photo_n", "farm_id", "n"),
        Index("ix_photo_inbound", "farm_id", "inbound", "part", unique=True),
    )

    farm_id: int = farm_key()
    id: int = key()
    inbound: str
    part: int
    person_id: int
    n: int | None = None
    url: str | None = None
    at: datetime = instant()
    state: str = "waiting"
    attempts: int = 0
    next_try_at: datetime = instant()
    error: str | None = None


class PhotoFile(SQLModel, table=True):
    """The bytes of a kept photo: a JPEG of ours, without what the camera wrote about place and owner."""

    farm_id: int = farm_key()
    id: int = key()
    person_id: int
    jpeg: bytes
