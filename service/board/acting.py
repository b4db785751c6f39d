"""A form of the board that does something: the same acts as the texts, in a unit of work of its own."""

from __future__ import annotations

import secrets
from dataclasses import dataclass

from sqlmodel import Session

from core.acts import carry_out
from core.books.tables import Farm, Person
from core.books.vocabulary import vocabulary
from core.errors import Refused
from core.notes import Note
from core.outcome import Fact, fact
from service.board.view import View
from service.conversation import news
from service.conversation.desk import Desk
from service.tables import Inbound


@dataclass(frozen=True, slots=True)
class Acted:
    """What came of an act: what to say of it, and whether it was recorded, is doubted, or was refused.

    A doubted act wrote nothing: show the doubts, and act again with `sure`.
    """

    facts: tuple[Fact, ...]
    state: str
    entry: int | None = None


def act(view: View, note: Note, *, sure: bool = False) -> Acted:
    """Carry out a note as the person who looks; whoever is concerned is told, as if it had been texted."""
    try:
        with view.books.write() as session:
            desk = _desk(view, session)
            outcome = carry_out(note, desk.scene(sure=sure))
            if not outcome.doubts:
                news.tell(desk, outcome.news)
    except Refused as refused:
        return Acted((fact(f"refused_{refused.kind}", **refused.values),), "refused")
    if outcome.doubts:
        return Acted(outcome.doubts, "doubted")
    if outcome.news:
        view.request.app.state.send_soon()
    return Acted((*outcome.first, *outcome.facts, *outcome.remarks), "recorded", outcome.entry)


def _desk(view: View, session: Session) -> Desk:
    """A form is dealt with as a text would be; that text is never stored, and nothing replies to it."""
    form = Inbound(
        farm_id=view.farm.id,
        id=f"board:{secrets.token_hex(8)}",
        carrier=view.request.app.state.settings.carrier,
        phone=view.person.phone or "",
        person_id=view.person.id,
        body="",
        media=[],
        sent_at=view.now,
        received_at=view.now,
    )
    farm, person = session.get_one(Farm, view.farm.id), session.get_one(Person, (view.farm.id, view.person.id))
    return Desk(session, farm, vocabulary(session, farm.id), person, form, view.now, view.language)
