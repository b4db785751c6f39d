"""What the practice phone shows of the books: who one can text as, and the texts to and from each. It only reads."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from urllib.parse import urlsplit
from zoneinfo import ZoneInfo

from sqlmodel import Session, col, select

from core.books.ledger import Ledger
from core.books.people import crew
from core.books.tables import Farm
from core.errors import NoSuchFarm
from service.phones import e164
from service.segments import count
from service.tables import Inbound, Outbound

MOST_SHOWN = 200  # texts of one thread
UNKNOWN = "unknown"
UNKNOWN_NUMBERS = tuple(f"+131255501{n:02}" for n in range(99, 9, -1))
"""Numbers kept for invented people (555-0100 to 555-0199); the first that nobody of the crew has is the stranger's."""

STATES = {
    "waiting": "waiting",
    "sending": "on its way",
    "sent": "sent",
    "delivered": "delivered",
    "failed": "failed",
    "unknown": "not known yet",
    "expired": "too late, not sent",
    "muted": "muted, not sent",
}
"""How far a text from the farm is, in words."""


@dataclass(frozen=True, slots=True)
class Line:
    """One text as the page shows it.

    `who` is "you" (the person one texts as) or "farm"; `kind` is "text", or what the farm sent it for. `at` is the
    instant said or sent, `hour` the same on the farm's clock; `pictures` are paths of what came with it.
    """

    id: str
    phone: str
    who: str
    kind: str
    text: str
    at: datetime
    hour: str
    state: str
    encoding: str
    units: int
    segments: int
    pictures: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Caller:
    """Somebody one can text as. `age` is "" for a stranger; `latest`, the newest text, is there in a list of people."""

    handle: str
    name: str
    phone: str
    role: str
    language: str
    age: str
    latest: Line | None = None


def practice_farm(session: Session) -> Farm:
    """The farm the practice phone texts to: the first of the books.

    Raises:
        NoSuchFarm: the books are empty.
    """
    farm = session.exec(select(Farm).order_by(col(Farm.id))).first()
    if farm is None:
        raise NoSuchFarm("there is no farm in the books yet")
    return farm


def callers(session: Session, farm: Farm) -> list[Caller]:
    """The crew in the order they joined, and an unknown number."""
    here = [
        Caller(one.handle, one.name, one.phone, one.role, one.language, one.age)
        for one in crew(Ledger(session, farm.id))
        if one.phone
    ]
    taken = {one.phone for one in here}
    free = next(number for number in UNKNOWN_NUMBERS if number not in taken)
    return [*here, stranger(UNKNOWN, free, farm)]


def listed(session: Session, farm: Farm) -> list[Caller]:
    """Everybody one can text as, each with the newest text."""
    everyone = callers(session, farm)
    return [replace(one, latest=next(iter(lines(session, farm, one.phone, most=1)), None)) for one in everyone]


def stranger(handle: str, phone: str, farm: Farm) -> Caller:
    """A number the farm does not know."""
    name = "An unknown number" if handle == UNKNOWN else phone
    return Caller(handle, name, phone, "stranger", farm.languages[0], "")


def caller(session: Session, farm: Farm, name: str) -> Caller | None:
    """Who a handle ("walt", "unknown") or a number means; None where it is neither."""
    wanted = name.strip().lower()
    for one in callers(session, farm):
        if wanted in (one.handle, one.phone):
            return one
    phone = e164(wanted) if wanted.startswith("+") else None
    return stranger(phone, phone, farm) if phone else None


def lines(session: Session, farm: Farm, phone: str, most: int = MOST_SHOWN) -> list[Line]:
    """The newest texts to and from a number, in order."""
    heard = session.exec(
        select(Inbound)
        .where(Inbound.farm_id == farm.id, Inbound.phone == phone)
        .order_by(col(Inbound.received_at).desc(), col(Inbound.id).desc())
        .limit(most)
    ).all()
    said = session.exec(
        select(Outbound)
        .where(Outbound.farm_id == farm.id, Outbound.phone == phone)
        .order_by(col(Outbound.id).desc())
        .limit(most)
    ).all()
    return in_order(heard, said, farm)[-most:]


def in_order(heard: Iterable[Inbound], said: Iterable[Outbound], farm: Farm) -> list[Line]:
    """Texts in and out as lines, by when they came; an answer stands right below the text it answers."""
    placed = [((row.received_at, row.id, 0), said_by_you(row, farm)) for row in heard]
    came = {row_id: received_at for (received_at, row_id, _), _ in placed}
    for row in said:
        answered = row.reply_to if row.reply_to in came else ""
        placed.append(((came.get(answered or "", row.created_at), answered or "", row.id), said_by_farm(row, farm)))
    return [line for _, line in sorted(placed, key=lambda one: one[0])]


def replies(session: Session, farm: Farm, inbound: Inbound) -> list[Line]:
    """What the farm answered a text with, in order."""
    query = select(Outbound).where(
        Outbound.farm_id == farm.id, Outbound.reply_to == inbound.id, Outbound.phone == inbound.phone
    )
    return [said_by_farm(row, farm) for row in session.exec(query.order_by(col(Outbound.id)))]


def said_by_you(row: Inbound, farm: Farm) -> Line:
    """A text that came in."""
    state = "read" if row.done_at else "stored"
    return _line(f"in:{row.id}", row, farm, who="you", kind="text", at=row.sent_at, state=state)


def said_by_farm(row: Outbound, farm: Farm) -> Line:
    """A text that went out, or is about to."""
    at = row.sent_at or row.created_at
    line = _line(f"out:{row.id}", row, farm, who="farm", kind=row.kind, at=at, state=STATES[row.state])
    return replace(line, pictures=tuple(urlsplit(address).path for address in row.media))


def _line(line_id: str, row: Inbound | Outbound, farm: Farm, *, who: str, kind: str, at: datetime, state: str) -> Line:
    cost = count(row.body)
    local = at.astimezone(ZoneInfo(farm.timezone))
    hour = f"{local:%a %b %-d, %-I:%M} {local:%p}".replace("AM", "am").replace("PM", "pm")
    return Line(line_id, row.phone, who, kind, row.body, at, hour, state, cost.encoding, cost.units, cost.parts)
