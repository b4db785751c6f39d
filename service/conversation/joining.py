"""Strangers: an unknown number can ask to join, and nothing else."""

from __future__ import annotations

import re
from datetime import datetime

from sqlmodel import Session, col, select

from core.books import people
from core.books.ledger import Ledger, Told
from core.books.tables import Farm, Person
from core.notes import AddPerson, to_record
from core.outcome import fact
from core.vocabulary import Vocabulary
from service import outbox
from service.limits import stranger_is_answered
from service.questions import alive
from service.quiet import next_allowed
from service.segments import fold
from service.tables import Inbound, OpenQuestion, Outbound
from service.words import Speaker, language_data, languages

LONGEST_NAME = 40


def stranger(
    session: Session, farm: Farm, vocabulary: Vocabulary, inbound: Inbound, now: datetime, *, silent: bool = False
) -> None:
    """Take a request to join, or say that this is how one asks; a number is answered a few times an hour only."""
    language, name = asked_to_join(inbound.body)
    ledger = Ledger(session, farm.id)
    known = people.by_phone(ledger, inbound.phone)
    language = known.language if known is not None else language
    if name is None and (asked := _name_was_asked(session, farm, vocabulary, inbound)):
        language, name = asked, _name_in(inbound.body, asked)
    speaker = Speaker(language, vocabulary, inbound.sent_at.astimezone(vocabulary.zone).date())
    if known is not None and known.state == "asked to join":
        kind = "join_waits"
    elif not name:
        kind = "stranger" if name is None else "join_needs_name"
    else:
        kind = "join_asked"
        _ask_to_join(ledger, farm, vocabulary, inbound, now, name, language, known)
    if not silent and stranger_is_answered(session, farm.id, inbound.phone, now):
        text = speaker.text([fact(kind, farm=vocabulary.farm, name=name)])
        outbox.reply(session, inbound, text, now)


def _name_was_asked(session: Session, farm: Farm, vocabulary: Vocabulary, inbound: Inbound) -> str | None:
    """The language in which we asked this number for a name with our last text; None where we did not."""
    theirs = select(Outbound.body).where(Outbound.farm_id == farm.id, Outbound.phone == inbound.phone)
    last = session.exec(theirs.order_by(col(Outbound.id).desc())).first()
    asked = fact("join_needs_name", farm=vocabulary.farm, name=None)
    today = inbound.sent_at.astimezone(vocabulary.zone).date()
    return next((one for one in languages() if last == Speaker(one, vocabulary, today).text([asked])), None)


def asked_to_join(text: str) -> tuple[str, str | None]:
    """The language of a request to join, and the name in it ("" where none is); None where it is no such request."""
    words = {word.casefold() for word in _words(text)}
    for language in languages():
        if words & set(language_data(language)["heard"]["join"]):
            return language, _name_in(text, language)
    return "en", None


def _name_in(text: str, language: str) -> str:
    """The name in "my name is Lena": what is left without the words in which people ask; "" where nothing is."""
    heard = language_data(language)["heard"]
    skip = {*heard["join"], *heard["join_filler"]}
    return fold(" ".join(word for word in _words(text) if word.casefold() not in skip)[:LONGEST_NAME].strip()).title()


def _words(text: str) -> list[str]:
    return re.findall(r"[^\W\d_][\w'-]*", text)[:60]


def _ask_to_join(
    ledger: Ledger,
    farm: Farm,
    vocabulary: Vocabulary,
    inbound: Inbound,
    now: datetime,
    name: str,
    language: str,
    known: Person | None,
) -> None:
    """The request goes into the books, and to the coordinators as a question."""
    writing = ledger.enter("join", Told(known.id if known else None, inbound.sent_at, now, inbound.id))
    if known is not None:
        writing.put(Person, {"id": known.id}, state="asked to join")
    else:
        number = ledger.number("person")
        handle = f"{name.split()[0].lower()}-{number}"
        writing.record(
            Person, id=number, handle=handle, name=name, phone=inbound.phone, language=language, age="unknown",
            state="asked to join",
        )  # fmt: skip
    for coordinator in people.crew(ledger, "coordinator"):
        _ask_coordinator(ledger.session, farm, vocabulary, inbound, now, coordinator, name)


def _ask_coordinator(
    session: Session,
    farm: Farm,
    vocabulary: Vocabulary,
    inbound: Inbound,
    now: datetime,
    coordinator: Person,
    name: str,
) -> None:
    if coordinator.phone is None or coordinator.muted:
        return
    draft = to_record(AddPerson(name=name, phone=inbound.phone))
    open_now = session.get(OpenQuestion, (farm.id, coordinator.id))
    busy = alive(open_now, now) is not None
    if not busy:
        if open_now is not None:
            session.delete(open_now)
            session.flush()
        session.add(
            OpenQuestion(
                farm_id=farm.id, person_id=coordinator.id, about="join", draft=draft, said_at=now, asked_at=now,
                rest=[], missing=[], source=inbound.id,
            )
        )  # fmt: skip
    kind = "news_join_later" if busy else "news_join"  # requests.py asks when it is their turn
    today = now.astimezone(vocabulary.zone).date()
    text = Speaker(coordinator.language, vocabulary, today).text([fact(kind, name=name, phone=inbound.phone)])
    outbox.place(
        session,
        farm_id=farm.id,
        key=f"join:{inbound.id}:{coordinator.id}",
        carrier=inbound.carrier,
        phone=coordinator.phone,
        person_id=coordinator.id,
        kind="news",
        body=text,
        now=now,
        not_before=next_allowed(now, vocabulary.zone, coordinator.early_at),
    )
