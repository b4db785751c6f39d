"""The way of one text through the house: received, read, recorded, answered, sent. No names, no words of anybody."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session, col, or_, select

from core.books.tables import Entry
from service.tables import Inbound, Outbound


@dataclass(frozen=True, slots=True)
class Step:
    """Something that happened to a text: when (UTC), what, and about which rows."""

    at: datetime
    what: str
    about: str


def trace(session: Session, message: str) -> list[Step]:
    """Every step of a text by its id, in order; empty where there is none.

    Args:
        message: of a text that came in, the carrier's id ("SM12...") or ours ("twilio:SM12..."); of one that went out,
            the carrier's id or ours ("1.27": farm and number).
    """
    steps = [step for one in _received(session, message) for step in _of_inbound(session, one)]
    steps += [step for one in _placed(session, message) for step in _of_outbound(one)]
    return sorted(steps, key=lambda step: step.at)


def _received(session: Session, message: str) -> list[Inbound]:
    known = or_(col(Inbound.id) == message, col(Inbound.id).endswith(f":{message}", autoescape=True))
    return list(session.exec(select(Inbound).where(known)))


def _placed(session: Session, message: str) -> list[Outbound]:
    farm, _, number = message.partition(".")
    known = col(Outbound.carrier_id) == message
    if farm.isdecimal() and number.isdecimal() and len(message) < 20:
        known = or_(known, (col(Outbound.farm_id) == int(farm)) & (col(Outbound.id) == int(number)))
    return list(session.exec(select(Outbound).where(known)))


def _of_inbound(session: Session, text: Inbound) -> Iterator[Step]:
    farm = f"farm {text.farm_id}"
    yield Step(text.sent_at, "sent", f"by its sender to {farm}")
    yield Step(text.received_at, "received", f"{text.id}, {len(text.body)} letters, {len(text.media)} pictures")
    if text.done_at is None:
        trouble = f"tried {text.attempts} times, {text.trouble}" if text.attempts else "not finished yet"
        yield Step(text.received_at, "waits", trouble)
        return
    yield Step(text.done_at, "read", _reading(text))
    entries = select(Entry).where(Entry.farm_id == text.farm_id, Entry.source == text.id).order_by(col(Entry.n))
    for entry in session.exec(entries):
        reverses = f", takes back entry {entry.reverses}" if entry.reverses else ""
        yield Step(entry.written_at, "recorded", f"entry {entry.n}: {entry.act}{reverses}")
    if text.trouble:
        yield Step(text.done_at, "set aside", f"after {text.attempts} tries: {text.trouble}")
    told = (Outbound.reply_to == text.id, col(Outbound.key).contains(f":{text.id}:", autoescape=True))
    for row in session.exec(select(Outbound).where(Outbound.farm_id == text.farm_id, or_(*told))):
        yield from _of_outbound(row)


def _reading(text: Inbound) -> str:
    """What it was understood as: the verdict and the acts, none of its words."""
    if text.reading is None:
        return "as no note (a keyword, a stranger's text, or no longer kept)"
    acts = ", ".join(str(note["act"]) for note in text.reading["notes"])
    missing = ", ".join(text.reading["missing"])
    return f"{text.reading['verdict']}: {acts or 'nothing'}" + (f"; lacks {missing}" if missing else "")


def _of_outbound(row: Outbound) -> Iterator[Step]:
    name = f"text {row.farm_id}.{row.id} ({row.kind})"
    to = "nobody of the crew" if row.person_id is None else f"person {row.person_id}"
    yield Step(row.created_at, "placed", f"{name} to {to}, {len(row.body)} letters")
    if row.sent_at is not None:
        yield Step(row.sent_at, "sent", f"{name} as {row.carrier_id} by {row.carrier}")
    error = f", error {row.error}" if row.error else ""
    yield Step(max(row.sent_at or row.created_at, row.created_at), "is", f"{name}: {row.state}{error}")
