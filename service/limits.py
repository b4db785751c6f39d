"""How much one number, and all strangers together, can make the farm do.

A text costs money and the number's own pace is one segment a second, so whoever is nobody to the farm is answered a few
times only; and a number that sends more than anybody can type is stored, but not read.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlmodel import Session, col, func, select

from service.tables import Inbound, Outbound

HOUR = timedelta(hours=1)

REPLIES_TO_A_STRANGER = 6
REPLIES_TO_STRANGERS = 60
"""An hour, to one number and to all of them. Common practice, no source."""

TEXTS_OF_A_NUMBER = 300
"""An hour: five a minute all the time; a day's texts of a phone that finds its signal again are far fewer."""


def floods(session: Session, farm_id: int, phone: str, now: datetime) -> bool:
    """Whether a number has sent more within the hour than is read."""
    theirs = select(func.count()).where(
        Inbound.farm_id == farm_id, Inbound.phone == phone, col(Inbound.received_at) > now - HOUR
    )
    return session.exec(theirs).one() > TEXTS_OF_A_NUMBER


def stranger_is_answered(session: Session, farm_id: int, phone: str, now: datetime) -> bool:
    """Whether a number that is nobody's is still answered this hour."""
    answers = select(func.count()).where(
        Outbound.farm_id == farm_id,
        col(Outbound.person_id).is_(None),
        Outbound.kind == "reply",
        col(Outbound.created_at) > now - HOUR,
    )
    if session.exec(answers.where(Outbound.phone == phone)).one() >= REPLIES_TO_A_STRANGER:
        return False
    return session.exec(answers).one() < REPLIES_TO_STRANGERS
