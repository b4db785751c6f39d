"""STOP, START, HELP and their kin: they are the carrier's words and never the farm's commands."""

from __future__ import annotations

from datetime import datetime

from sqlmodel import Session

from core.books.ledger import Ledger, Told
from core.books.tables import Consent, Person
from core.outcome import fact
from service import outbox
from service.conversation.desk import Desk
from service.words import language_data, languages

START = ("start", "unstop", "yes")
HELP = ("help", "info")


def keyword(desk: Desk, *, carrier_answers: bool) -> None:
    """Mute, unmute or help. Where the carrier answers such words itself (`carrier_answers`) we add nothing.

    A lone YES outside a question is the carrier's opt-in word too: it lifts a STOP, and means nothing otherwise.
    """
    word = "".join(letter for letter in desk.inbound.body.casefold() if letter.isalpha())
    if word in HELP:
        kind = "carrier_help"
    elif word in START:
        kind = "carrier_start" if desk.person.muted else "nothing_asked" if word == "yes" else "carrier_start"
        if desk.person.muted:
            _mute(desk, muted=False)
    else:
        mute(desk)
        kind = "carrier_stop"
    if not carrier_answers or kind == "nothing_asked":
        desk.say(fact(kind, farm=desk.vocabulary.farm))


def in_other_words(desk: Desk) -> bool:
    """The same in words that no carrier listens for, alone in a text ("parar", "ayuda"); whether it was one."""
    said = "".join(letter for letter in desk.inbound.body.casefold() if letter.isalpha())
    lists = [language_data(one)["keywords"] for one in languages()]
    meant = {word: what for one in lists for what, words in one.items() for word in words}
    if said not in meant:
        return False
    if meant[said] == "stop":
        mute(desk)
    elif meant[said] == "start" and desk.person.muted:
        _mute(desk, muted=False)
    desk.say(fact(f"carrier_{meant[said]}", farm=desk.vocabulary.farm))
    return True


def mute(desk: Desk) -> None:
    """From now on nothing is sent to the sender, and what still waits for them is dropped."""
    _mute(desk, muted=True)
    outbox.drop_waiting(desk.session, desk.farm.id, desk.person.id)


def _mute(desk: Desk, *, muted: bool) -> None:
    told = desk.scene().told
    _write(desk.ledger, told, desk.person.id, muted=muted, source=desk.inbound.id)


def opted_out(session: Session, farm_id: int, person_id: int, now: datetime) -> None:
    """The carrier says that a person takes no more texts (they said STOP to it, and we did not hear it)."""
    _write(Ledger(session, farm_id), Told(person_id, now, now), person_id, muted=True, source="carrier")
    outbox.drop_waiting(session, farm_id, person_id)


def _write(ledger: Ledger, told: Told, person_id: int, *, muted: bool, source: str) -> None:
    """The revocation or its end, kept with how it came."""
    writing = ledger.enter("mute" if muted else "unmute", told)
    writing.put(Person, {"id": person_id}, muted=muted)
    writing.record(Consent, person_id=person_id, agreed=not muted, wording="", source=source, at=told.said_at)
