"""Whether somebody may be texted unasked: asked once, kept with the wording they saw, when and in which text."""

from __future__ import annotations

from sqlmodel import select

from core.books.tables import Consent, Person
from core.outcome import fact
from service.conversation.desk import Desk
from service.tables import OpenQuestion


def ask_consent(desk: Desk) -> None:
    """Once, after their first text: may we text you unasked? Minors are asked through their guardian, not here."""
    person = desk.person
    if (
        person.agreed
        or person.muted
        or person.age == "minor"
        or desk.question() is not None
        or _was_asked(desk, person)
    ):
        return
    desk.session.add(
        OpenQuestion(
            farm_id=desk.farm.id, person_id=person.id, about="consent", said_at=desk.now, asked_at=desk.now,
            rest=[], missing=[], source=desk.inbound.id,
        )
    )  # fmt: skip
    desk.say(fact("ask_consent", farm=desk.vocabulary.farm))


def _was_asked(desk: Desk, person: Person) -> bool:
    query = select(Consent).where(Consent.farm_id == desk.farm.id, Consent.person_id == person.id)
    return desk.session.exec(query).first() is not None


def agree(desk: Desk, *, agreed: bool) -> None:
    """The sender's answer to the question whether they may be texted unasked, kept with the wording they saw."""
    asked = desk.speaker().say(fact("ask_consent", farm=desk.vocabulary.farm))
    writing = desk.ledger.enter("consent", desk.scene().told)
    writing.put(Person, {"id": desk.person.id}, agreed=agreed)
    writing.record(
        Consent,
        person_id=desk.person.id,
        agreed=agreed,
        wording=asked,
        source=desk.inbound.id,
        at=desk.inbound.sent_at,
    )
    desk.say(fact("consent_given" if agreed else "consent_refused", farm=desk.vocabulary.farm))
