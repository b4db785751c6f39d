"""Whether a machine is answering us. Its texts are taken down all the same, only not answered, so that the two stop.

A loop shows by its speed, by saying the same again and again (but for the figures in it, and be it in two or three
forms by turns), by talking on without ever saying anything the farm understands, or by never ending in a day.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlalchemy import func
from sqlmodel import Session, col, select

from service.tables import Inbound, Outbound

MOST_REPLIES_A_MINUTE = 20  # a phone that finds its signal again sends a day's texts at once
MOST_REPLIES_A_DAY = 150
MOST_REPEATS_AN_HOUR = 6
MOST_SHORT_REPEATS_AN_HOUR = 10  # "ok", "1" and "done" answer many questions in an hour
MOST_IN_TURN_AN_HOUR = 9  # texts of a few forms, one after the other
FORMS_IN_TURN = 3
MOST_IN_VAIN = 8  # texts in a row within an hour of which none was understood
SHORT = 8  # letters
"""Common practice, no source, but for the first: carriers see a loop in 30 replies within 30 seconds (Twilio 14107)."""

UNDERSTOOD = ("record", "answer", "ask", "keyword")
_FIGURES = re.compile(r"\d+")
_SPACE = re.compile(r"\s+")


def too_many(session: Session, farm_id: int, phone: str, now: datetime) -> bool:
    """Whether to be silent to a number, since a machine seems to be answering us."""
    if _replies(session, farm_id, phone, now - timedelta(minutes=1)) >= MOST_REPLIES_A_MINUTE:
        return True
    if _replies(session, farm_id, phone, now - timedelta(days=1)) >= MOST_REPLIES_A_DAY:
        return True
    texts = _lately(session, farm_id, phone, now)
    return bool(texts) and (_repeats(texts) or _in_vain(texts))


def _replies(session: Session, farm_id: int, phone: str, since: datetime) -> int:
    query = select(func.count()).where(
        Outbound.farm_id == farm_id, Outbound.phone == phone, Outbound.kind == "reply", Outbound.created_at > since
    )
    return session.exec(query).one()


def _lately(session: Session, farm_id: int, phone: str, now: datetime) -> Sequence[Inbound]:
    """The number's texts of the last hour, in the order they came."""
    query = select(Inbound).where(
        Inbound.farm_id == farm_id, Inbound.phone == phone, Inbound.received_at > now - timedelta(hours=1)
    )
    return session.exec(query.order_by(col(Inbound.received_at), col(Inbound.id))).all()


def _repeats(texts: Sequence[Inbound]) -> bool:
    """The last text too often, or a few long ones that take turns, with nothing else between them."""
    said = [_words(one.body) for one in texts]
    most = MOST_SHORT_REPEATS_AN_HOUR if len(said[-1]) <= SHORT else MOST_REPEATS_AN_HOUR
    last = said[-MOST_IN_TURN_AN_HOUR:]
    by_turns = len(last) == MOST_IN_TURN_AN_HOUR and len(set(last)) <= FORMS_IN_TURN
    return said.count(said[-1]) >= most or (by_turns and all(len(one) > SHORT for one in last))


def _in_vain(texts: Sequence[Inbound]) -> bool:
    """Whether so many texts in a row said nothing the farm understands: fewer of one form, but for its figures.

    Those not read yet aside: the last one, and what came in a burst with it. What is short is never a machine's.
    """
    *before, last = [one for one in texts if len(one.body) > SHORT][-MOST_IN_VAIN - 1 :] or [texts[-1]]
    before = [one for one in before if one.done_at is not None]
    vain = [_form(one) for one in before if not _understood(one)]
    return len(vain) == MOST_IN_VAIN or vain.count(_form(last)) >= MOST_REPEATS_AN_HOUR - 1


def _form(text: Inbound) -> str:
    return _FIGURES.sub("0", _words(text.body))


def _words(body: str) -> str:
    return _SPACE.sub(" ", body.casefold()).strip()


def _understood(text: Inbound) -> bool:
    """Pictures without words are nothing to understand."""
    return bool(text.media) or (text.reading or {}).get("verdict") in UNDERSTOOD
