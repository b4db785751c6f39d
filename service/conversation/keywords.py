"""STOP, START, HELP and their kin: they are the carrier's words and never the farm's commands."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlmodel import Session, col, select

from core.acts.calibrating import under_way
from core.books.ledger import Ledger, Told
from core.books.tables import Consent, Person
from core.books.troubles import IN_CHARGE, open_trouble
from core.outcome import News, fact
from service import outbox
from service.conversation.desk import Desk
from service.conversation.news import tell
from service.tables import Inbound, Outbound
from service.understanding.reading import Mute
from service.words import language_data, languages

START = ("start", "unstop", "yes")
HELP = ("help", "info")
AMBIGUOUS = ("cancel", "end", "quit")
"""Words that mute and by which a crew member may have meant a shift."""

STILL_TALKING = timedelta(hours=1)
"""A text within this long of the one before belongs to the same talk. Common practice, no source."""

CARRIERS_THAT_ANSWER = ("twilio",)
"""Carriers that answer STOP, START and HELP themselves."""


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
        mute(desk, word)
        kind = "carrier_stop"
    if not carrier_answers or kind == "nothing_asked":
        desk.say(fact(kind, farm=desk.vocabulary.farm))


def _tell_if_meant_otherwise(desk: Desk, word: str) -> None:
    """The carrier takes CANCEL for STOP, and a farm misses a lead: only the sender can undo it, so they are asked."""
    if desk.person.muted:
        return
    if word in AMBIGUOUS:
        told = fact("news_perhaps_not_meant", who=desk.person.name, word=word.upper())
    elif desk.person.role in IN_CHARGE:
        told = fact("news_lead_muted", who=desk.person.name, farm=desk.vocabulary.farm)
    else:
        return
    tell(desk, [News(told, role="coordinator")])


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


def mute(desk: Desk, word: str = "") -> None:
    """From now on nothing is sent to the sender, and what still waits for them is dropped."""
    _tell_if_meant_otherwise(desk, word)
    _mute(desk, muted=True)
    outbox.drop_waiting(desk.session, desk.farm.id, desk.person.id)


def mute_in_words(desk: Desk) -> None:
    """The same for a text that takes its consent back in words of its own, which no carrier answers."""
    mute(desk)
    desk.say(fact("carrier_stop", farm=desk.vocabulary.farm))


def perhaps_mute(desk: Desk, how: Mute) -> None:
    """Words that may be about something at the farm are asked about where something is; said again, they hold."""
    if how == "clear" or desk.person.muted or (how == "bare" and (_was_asked(desk) or not _something_goes_on(desk))):
        mute_in_words(desk)
    else:
        desk.say(fact("stop_perhaps" if how == "bare" else "stop_what"))


def _was_asked(desk: Desk) -> bool:
    """Whether these words were asked about with our last text; after "stop the pump" they are still about the pump."""
    theirs = select(Outbound.body).where(Outbound.farm_id == desk.farm.id, Outbound.phone == desk.inbound.phone)
    last = desk.session.exec(theirs.order_by(col(Outbound.id).desc())).first()
    return last == desk.speaker().text([fact("stop_perhaps")])


def _something_goes_on(desk: Desk) -> bool:
    """A calibration, trouble reported, or a text of theirs within the hour."""
    since = desk.inbound.sent_at - STILL_TALKING
    earlier = select(Inbound.id).where(
        Inbound.farm_id == desk.farm.id,
        Inbound.phone == desk.inbound.phone,
        Inbound.id != desk.inbound.id,
        col(Inbound.sent_at) > since,
        col(Inbound.sent_at) <= desk.inbound.sent_at,
    )
    talking = desk.session.exec(earlier).first() is not None
    return talking or under_way(desk.scene()) is not None or any(one.at > since for one in open_trouble(desk.ledger))


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
