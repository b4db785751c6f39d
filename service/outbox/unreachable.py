"""Numbers that get no texts: the coordinator hears of each once, and nothing more is sent to it until it texts us.

A phone that is only out of reach for now gets the text once more, later, and nobody is troubled with it.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlalchemy import delete
from sqlmodel import Session, col

from core.books import people
from core.books.ledger import Ledger
from core.books.tables import Person
from core.books.vocabulary import vocabulary
from core.calendar import local_day
from core.outcome import fact
from service.carriers import Reason
from service.once import insert_once
from service.outbox.placing import place
from service.tables import DeadNumber, Outbound
from service.words import Speaker

ONCE_MORE_AFTER = timedelta(hours=2)
"""A phone that is off is tried again after this. "One or two late retries": Twilio's page of error 30003."""

AGAIN = "again:"

LAST_DIGITS = 4
"""Of a number: enough to tell a person's new one from the old, and no number to be found in a key."""


def number_fails(session: Session, row: Outbound, reason: Reason, now: datetime) -> None:
    """A carrier's last word on a text is about its number: try once more later, or stop and say so."""
    if reason == "unreachable":
        _once_more(session, row, now)
        return
    if reason != "unsubscribed":  # that is kept with the person, who can lift it by START
        insert_once(session, DeadNumber(farm_id=row.farm_id, phone=row.phone, reason=reason, since=now))
    if row.person_id is not None:
        _tell_coordinators(session, row, reason, now)


def is_dead(session: Session, farm_id: int, phone: str) -> bool:
    """Whether a carrier has said for good that no text reaches this number."""
    return session.get(DeadNumber, (farm_id, phone)) is not None


def lives(session: Session, farm_id: int, phone: str) -> None:
    """A text came from this number: whatever was said of it, it may be answered."""
    theirs = (col(DeadNumber.farm_id) == farm_id, col(DeadNumber.phone) == phone)
    session.execute(delete(DeadNumber).where(*theirs))


def _once_more(session: Session, row: Outbound, now: datetime) -> None:
    later = now + ONCE_MORE_AFTER
    if row.key.startswith(AGAIN) or (row.expires_at is not None and row.expires_at <= later):
        return
    place(
        session,
        farm_id=row.farm_id,
        key=f"{AGAIN}{row.id}",
        carrier=row.carrier,
        phone=row.phone,
        person_id=row.person_id,
        kind=row.kind,
        body=row.body,
        now=now,
        expires_at=row.expires_at,
        not_before=later,
    )


def _tell_coordinators(session: Session, row: Outbound, reason: Reason, now: datetime) -> None:
    """Each coordinator but the one it is about hears it once a number, in the hours in which texts may come."""
    ledger = Ledger(session, row.farm_id)
    readers = [one for one in people.crew(ledger, "coordinator") if one.id != row.person_id and _may_hear(one)]
    if not readers:
        return
    about, words = people.person(ledger, row.person_id or 0), vocabulary(session, row.farm_id)
    for reader in readers:
        speaker = Speaker(reader.language, words, local_day(now, words.zone))
        place(
            session,
            farm_id=row.farm_id,
            key=f"unreachable:{about.id}:{row.phone[-LAST_DIGITS:]}:{reader.id}",
            carrier=row.carrier,
            phone=reader.phone or "",
            person_id=reader.id,
            kind="news",
            body=speaker.text([fact(f"unreachable_{reason}", name=about.name)]),
            now=now,
        )


def _may_hear(reader: Person) -> bool:
    return reader.agreed and not reader.muted and reader.phone is not None
