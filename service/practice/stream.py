"""News for an open practice page: texts as they come in and go out, and how far each is, as Server-Sent Events."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from dataclasses import asdict, dataclass
from datetime import UTC, datetime, timedelta

from fastapi.sse import ServerSentEvent
from sqlmodel import Session, col, func, or_, select
from starlette.concurrency import run_in_threadpool

from core.books.store import Books
from core.books.tables import Farm
from service.practice.page import line_html
from service.practice.thread import Line, callers, in_order, practice_farm
from service.tables import Inbound, Outbound

LOOK_EVERY_S = 0.5
OVERLAP = timedelta(seconds=5)  # a text in may be committed a moment after a later one
WATCHED = 50  # texts out before the mark whose way is still followed


@dataclass(frozen=True, slots=True)
class Mark:
    """How far a page has been told: the number of the last text out, and the instant of the last text in."""

    said: int
    heard: datetime

    def __str__(self) -> str:
        return f"{self.said}-{self.heard.timestamp():.6f}"

    @classmethod
    def read(cls, text: str | None) -> Mark | None:
        """The mark written in an event's id; None where it is not one of ours."""
        said, _, heard = (text or "").partition("-")
        try:
            return cls(int(said), datetime.fromtimestamp(float(heard), UTC))
        except (ValueError, OverflowError, OSError):
            return None


def mark_now(session: Session, farm: Farm, now: datetime) -> Mark:
    """The mark behind everything that is in the books."""
    last = session.exec(select(func.max(Outbound.id)).where(Outbound.farm_id == farm.id)).one()
    return Mark(last or 0, now)


class Watch:
    """What one page has been told, so that it hears everything and, on one connection, nothing twice.

    A page that comes back with its mark may hear texts of the last seconds again: the line's id tells.
    """

    def __init__(self, books: Books, mark: Mark) -> None:
        self.books = books
        self.mark = mark
        self._start = mark
        self._told: dict[str, str] = {}

    def look(self) -> list[ServerSentEvent]:
        """The news since the last look: "text" for a text, "state" for one that got further."""
        with self.books.read() as session:
            farm = practice_farm(session)
            said = self._said(session, farm)
            heard = self._heard(session, farm, said)
            lines = [line for line in in_order(heard, said, farm) if self._told.get(line.id) != line.state]
            if not lines:
                return []
            people = {one.phone: (one.handle, one.language) for one in callers(session, farm)}
            old = {f"out:{row.id}" for row in said if row.id <= self._start.said}
            self.mark = Mark(
                max([self.mark.said, *(row.id for row in said)]),
                max([self.mark.heard, *(row.received_at for row in heard)]),
            )
        events = [self._event(line, line.id in old, *people.get(line.phone, (line.phone, ""))) for line in lines]
        events[-1].id = str(self.mark)  # not before: whoever is cut off among them must hear them all again
        return events

    def _heard(self, session: Session, farm: Farm, said: list[Outbound]) -> list[Inbound]:
        """What came in lately, and whatever is answered only now."""
        answered = [row.reply_to for row in said if row.reply_to and row.id > self._start.said]
        lately = Inbound.received_at > self._start.heard - OVERLAP
        query = select(Inbound).where(Inbound.farm_id == farm.id, or_(lately, col(Inbound.id).in_(answered)))
        return list(session.exec(query))

    def _said(self, session: Session, farm: Farm) -> list[Outbound]:
        query = select(Outbound).where(Outbound.farm_id == farm.id, Outbound.id > self._start.said - WATCHED)
        return list(session.exec(query.order_by(col(Outbound.id))))

    def _event(self, line: Line, old: bool, handle: str, language: str) -> ServerSentEvent:
        known = old or line.id in self._told
        self._told[line.id] = line.state
        data = {"handle": handle, "id": line.id, "state": line.state}
        if not known:
            data |= {**asdict(line), "at": line.at.isoformat(), "html": line_html(line, language)}
        return ServerSentEvent(event="state" if known else "text", data=data, retry=1000)


async def news(watch: Watch, is_over: Callable[[], bool]) -> AsyncIterator[ServerSentEvent]:
    """Everything new, for as long as the page listens and the server stays up; no worker thread waits meanwhile."""
    while not is_over():
        for event in await run_in_threadpool(watch.look):
            yield event
        await asyncio.sleep(LOOK_EVERY_S)
