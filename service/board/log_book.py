"""The line's log for people: texts in and out of a farm, the newest first, searched and paged."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Literal

from sqlmodel import Session, col, or_, select

from core.books.tables import Person
from service.board.waiting import unread, was_not_read
from service.segments import count
from service.tables import Inbound, Outbound, Proof

Show = Literal["all", "in", "out", "unread"]

A_PAGE = 50
SECRET = ("code",)
"""Kinds of text whose words are for their receiver alone. So is a reply with a code that still opens something."""

Live = Mapping[int, str]
"""Person -> the code sent to them that still confirms what they said."""


@dataclass(frozen=True, slots=True)
class Asked:
    """Which texts to show: with `words` in them or in their person's name, of a kind, from before an instant."""

    words: str = ""
    show: Show = "all"
    before: datetime | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """One text. `who` is a person's name, or the number of whom the farm does not know.

    `state` is how far it is: for a text in "read", "not read" or "waiting", for one out as in the outbox. `body` is
    empty where it is `secret`, for its receiver alone. `beside` is where it stands in the log: an answer right above
    the text it answers.
    """

    id: str
    at: datetime
    out: bool
    who: str
    body: str
    kind: str
    state: str
    segments: int
    photos: int = 0
    beside: tuple[datetime, str] = (datetime.min.replace(tzinfo=UTC), "")
    secret: bool = False


def log(session: Session, farm_id: int, asked: Asked, now: datetime) -> list[Line]:
    """A page of texts; where more follow, the next page begins before the last one's instant.

    All texts of the instant at which a page ends are on it.
    """
    if asked.show == "unread":
        heard: Sequence[Inbound] = unread(session, farm_id, now)
        return _lines(session, farm_id, heard, ())
    people = _named(session, farm_id, asked.words) if asked.words else []
    heard = _heard(session, farm_id, asked, people) if asked.show != "out" else ()
    said = _said(session, farm_id, asked, people) if asked.show != "in" else ()
    lines = _lines(session, farm_id, heard, said)
    return [one for one in lines if len(lines) <= A_PAGE or one.beside[0] >= lines[A_PAGE - 1].beside[0]]


def _named(session: Session, farm_id: int, words: str) -> list[int]:
    like = col(Person.name).icontains(words, autoescape=True)
    return list(session.exec(select(Person.id).where(Person.farm_id == farm_id, like)))


def _live(session: Session, farm_id: int) -> Live:
    rows = session.exec(select(Proof).where(Proof.farm_id == farm_id, col(Proof.code).is_not(None)))
    return {one.person_id: str(one.code) for one in rows}


def _heard(session: Session, farm_id: int, asked: Asked, people: Sequence[int]) -> Sequence[Inbound]:
    query = select(Inbound).where(Inbound.farm_id == farm_id, *_asked(Inbound, Inbound.received_at, asked, people))
    return session.exec(query.order_by(col(Inbound.received_at).desc()).limit(2 * A_PAGE)).all()


def _said(session: Session, farm_id: int, asked: Asked, people: Sequence[int]) -> Sequence[Outbound]:
    query = select(Outbound).where(Outbound.farm_id == farm_id, *_asked(Outbound, Outbound.created_at, asked, people))
    if asked.words:  # nor may a secret be found digit by digit
        query = query.where(col(Outbound.kind).not_in(SECRET))
        for who, code in _live(session, farm_id).items():
            query = query.where(or_(Outbound.person_id != who, ~col(Outbound.body).contains(code, autoescape=True)))
    return session.exec(
        query.order_by(col(Outbound.created_at).desc(), col(Outbound.id).desc()).limit(2 * A_PAGE)
    ).all()


def _asked(table: Any, at: Any, asked: Asked, people: Sequence[int]) -> list[Any]:
    where = [at < asked.before] if asked.before else []
    if asked.words:
        where.append(or_(table.body.icontains(asked.words, autoescape=True), table.person_id.in_(people)))
    return where


def _lines(session: Session, farm_id: int, heard: Sequence[Inbound], said: Sequence[Outbound]) -> list[Line]:
    ids = {one.person_id for one in heard} | {one.person_id for one in said}
    of_them = select(Person).where(Person.farm_id == farm_id, col(Person.id).in_(ids))
    names = {one.id: one.name for one in session.exec(of_them)}
    came, live = {one.id: one.received_at for one in heard}, _live(session, farm_id)
    lines = [*(_in(one, names) for one in heard), *(_out(one, names, came, live) for one in said)]
    return sorted(lines, key=lambda one: (*one.beside, one.out), reverse=True)


def _in(row: Inbound, names: Mapping[int, str]) -> Line:
    state = "waiting" if row.done_at is None else "not_read" if was_not_read(row) else "read"
    who = names.get(row.person_id or 0, row.phone)
    parts = count(row.body).parts
    return Line(
        row.id, row.received_at, False, who, row.body, "text", state, parts, len(row.media), (row.received_at, row.id)
    )


def _out(row: Outbound, names: Mapping[int, str], came: Mapping[str, datetime], live: Live) -> Line:
    who = names.get(row.person_id or 0, row.phone)
    code = live.get(row.person_id or 0)
    secret = row.kind in SECRET or (code is not None and code in row.body)
    body = "" if secret else row.body
    parts = count(row.body).parts
    answered = row.reply_to if row.reply_to in came else None
    beside = (came[answered], answered) if answered else (row.created_at, "")
    return Line(str(row.id), row.created_at, True, who, body, row.kind, row.state, parts, 0, beside, secret)
