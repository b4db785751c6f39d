"""What is unanswered: questions of the farm's that nobody answered yet, and texts it did not understand."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlmodel import Session, col, or_, select

from core.books.tables import Person
from core.brief import brief
from core.notes import from_record
from core.outcome import Fact
from service.questions import QUESTION_LIVES
from service.tables import Inbound, OpenQuestion, Outbound
from service.words import heard

LOOKED_BACK = timedelta(days=14)
"""A text that nobody saw to in two weeks is history."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A question put to somebody: about what, since when, and the note it is about, if any."""

    person: Person
    about: str
    since: datetime
    of: tuple[Fact, ...]


def open_questions(session: Session, farm_id: int, now: datetime) -> list[Asked]:
    """Questions that can still be answered, the oldest first."""
    query = (
        select(OpenQuestion, Person)
        .join(Person, (col(Person.farm_id) == OpenQuestion.farm_id) & (col(Person.id) == OpenQuestion.person_id))
        .where(OpenQuestion.farm_id == farm_id, col(OpenQuestion.asked_at) > now - QUESTION_LIVES)
    )
    found = session.exec(query.order_by(col(OpenQuestion.asked_at))).all()
    return [Asked(person, row.about, row.asked_at, _of(row)) for row, person in found]


def _of(row: OpenQuestion) -> tuple[Fact, ...]:
    return (brief(from_record(row.draft)),) if row.draft and "act" in row.draft else ()


def unread(session: Session, farm_id: int, now: datetime) -> Sequence[Inbound]:
    """Texts of the last two weeks that were answered, but not understood, and that nobody saw to; the newest first.

    Greetings and thanks are none: they want nothing.
    """
    query = select(Inbound).where(
        Inbound.farm_id == farm_id,
        col(Inbound.received_at) > now - LOOKED_BACK,
        col(Inbound.settled_at).is_(None),
        col(Inbound.done_at).is_not(None),
        or_(col(Inbound.reading)["verdict"].as_string() == "none", col(Inbound.trouble).is_not(None)),
    )
    texts = session.exec(query.order_by(col(Inbound.received_at).desc())).all()
    return [one for one in texts if was_not_read(one) and _was_answered(session, one)]


def was_not_read(text: Inbound) -> bool:
    """Whether nothing was made of a text, or an error set it aside."""
    if text.done_at is None or text.settled_at is not None:
        return False
    nothing = (text.reading or {}).get("verdict") == "none" and not _is_greeting(text.body)
    return nothing or text.trouble is not None


def _is_greeting(body: str) -> bool:
    words = re.findall(r"[^\W\d_]+", body.casefold())
    return bool(words) and set(words).issubset({*heard("greet"), *heard("polite")})


def _was_answered(session: Session, text: Inbound) -> bool:
    """Thanks get no reply; what was not understood gets one."""
    query = select(Outbound.id).where(Outbound.farm_id == text.farm_id, Outbound.reply_to == text.id)
    return session.exec(query).first() is not None
