"""What was last put to a person: how long it can be answered, and the question of attendance that a reminder asks."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from sqlmodel import Session

from service.once import insert_once
from service.tables import OpenQuestion

QUESTION_LIVES = timedelta(hours=18)
"""After this long nobody remembers what they were asked. Common practice, no source."""


CLOCKS_DIFFER = timedelta(seconds=5)
"""By so much a carrier's clock may be behind ours."""


def alive(question: OpenQuestion | None, now: datetime, sent_at: datetime | None = None) -> OpenQuestion | None:
    """A question that can still be answered; by a text sent at `sent_at`, only one that was put before that."""
    if question is None or now - question.asked_at > QUESTION_LIVES:
        return None
    came_first = sent_at is not None and sent_at + CLOCKS_DIFFER < question.asked_at
    return None if came_first else question


def ask_attendance(session: Session, farm_id: int, person_id: int, shift: str, now: datetime) -> bool:
    """Open the question whether they come, in place of an older one about a shift; whether it is open now.

    Where something else was asked and still waits for its answer, that question stays.
    """
    question = session.get(OpenQuestion, (farm_id, person_id), with_for_update=True)
    if question is not None and question.about != "shift" and alive(question, now):
        return False
    values: dict[str, Any] = {"about": "shift", "draft": None, "rest": [], "missing": [], "shift": shift}
    values |= {"source": None, "said_at": now, "happened_at": None, "for_id": None, "asked_at": now}
    if question is None:
        return insert_once(session, OpenQuestion(farm_id=farm_id, person_id=person_id, **values))
    for name, value in values.items():
        setattr(question, name, value)
    return True
