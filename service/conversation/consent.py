"""Whether somebody may be texted unasked: asked once, kept with the wording they saw, when and in which text."""

from __future__ import annotations

from sqlmodel import select

from core.acts.calibrating import under_way
from core.books.tables import Consent, Person
from core.outcome import fact
from service.conversation.desk import Desk
from service.conversation.guardians import ask_age_or_guardian
from service.conversation.questions import open_question
from service.words import heard


def ask_consent(desk: Desk) -> None:
    """After their first text: may we text you unasked? A minor's guardian is asked in their place."""
    person = desk.person
    if under_way(desk.scene()) is not None:
        return  # its "OK" belongs to the probe
    if not person.muted and ask_age_or_guardian(desk):
        return
    if person.agreed or person.muted or not person.grown_up or desk.question() is not None or _was_asked(desk, person):
        return
    open_question(desk, person, "consent")
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


def wakes(desk: Desk) -> bool:
    """Whether the text chose, or gave up, to be texted in an emergency at any hour; kept as a consent of its own."""
    said = " ".join(desk.inbound.body.casefold().split()).strip(".!")
    on, off = said in heard("wake"), said in heard("let_sleep")
    if not (on or off):
        return False
    writing = desk.ledger.enter("wakeful", desk.scene().told)
    writing.put(Person, {"id": desk.person.id}, wakeful=on)
    writing.record(
        Consent, person_id=desk.person.id, agreed=on, wording=said, source=desk.inbound.id, at=desk.inbound.sent_at
    )
    desk.say(fact("wakeful_on" if on else "wakeful_off", farm=desk.vocabulary.farm))
    return True
