"""Opening a question of ours that is about no note: consent, an age, a guardian."""

from __future__ import annotations

from typing import Any

from core.books.tables import Person
from service.conversation.desk import Desk
from service.tables import OpenQuestion


def open_question(desk: Desk, person: Person, about: str, draft: dict[str, Any] | None = None) -> None:
    """Put a question to somebody, in place of one that is open with them."""
    row = desk.session.get(OpenQuestion, (desk.farm.id, person.id))
    if row is None:
        row = OpenQuestion(farm_id=desk.farm.id, person_id=person.id, about=about, said_at=desk.now, asked_at=desk.now)
        desk.session.add(row)
    row.about, row.draft, row.rest, row.missing, row.shift = about, draft, [], [], None
    row.source, row.said_at, row.asked_at, row.passed = desk.inbound.id, desk.now, desk.now, 0
    row.happened_at = row.for_id = None
