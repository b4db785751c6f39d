"""News for open pages, as Server-Sent Events: "something changed on the farm". A page then fetches itself anew."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.sse import EventSourceResponse, ServerSentEvent
from sqlmodel import Session, col, func, select
from starlette.concurrency import run_in_threadpool

from core.books.store import Books
from core.books.tables import Counter
from service.board import signing
from service.board.forms import COOKIE
from service.board.turned import NotSignedIn
from service.tables import Inbound

LOOK_EVERY_S = 1.0
COUNTED = ("entry", "text")

router = APIRouter(prefix="/board", tags=["board"])


def mark(session: Session, farm_id: int) -> str:
    """How far the farm's books are, as one short text: another whenever something was recorded, came in or went out."""
    counters = select(Counter.name, Counter.last).where(Counter.farm_id == farm_id, col(Counter.name).in_(COUNTED))
    last = dict(session.exec(counters).all())
    newest = session.exec(select(func.max(Inbound.received_at)).where(Inbound.farm_id == farm_id)).one()
    done = session.exec(select(func.max(Inbound.done_at)).where(Inbound.farm_id == farm_id)).one()
    return "-".join(str(part) for part in (*(last.get(name, 0) for name in COUNTED), _stamp(newest), _stamp(done)))


def _stamp(moment: datetime | None) -> str:
    return f"{moment.timestamp():.6f}" if moment else "0"


class Watch:
    """One open page: whose it is, and what it was last told."""

    def __init__(self, books: Books, token: str, clock: Callable[[], datetime]) -> None:
        self.books = books
        self.token = token
        self.clock = clock
        self.told = ""

    def look(self) -> str | None:
        """The farm's mark where it is another than the one last told, "" where it is the same; None: signed out."""
        with self.books.read() as session:
            seat = signing.seat(session, self.token, self.clock())
            if seat is None:
                return None
            stale, now = signing.is_stale(seat.signed_in, self.clock()), mark(session, seat.farm.id)
        if stale:
            with self.books.write() as session:
                signing.touch(session, self.token, self.clock())
        if now == self.told:
            return ""
        self.told = now
        return now


def _watching(request: Request) -> Watch:
    state = request.app.state
    watch = Watch(state.books, request.cookies.get(COOKIE, ""), lambda: state.clock())
    if watch.look() is None:
        raise NotSignedIn
    watch.told = ""
    return watch


@router.get("/events", response_class=EventSourceResponse)
async def events(request: Request, watch: Annotated[Watch, Depends(_watching)]) -> AsyncIterator[ServerSentEvent]:
    """One "mark" now, and another whenever the farm's books change, until the session or the service ends."""
    while not request.app.state.stopping.is_set():
        told = await run_in_threadpool(watch.look)
        if told is None:
            yield ServerSentEvent(event="over", data={})
            return
        if told:
            yield ServerSentEvent(event="mark", data={"mark": told}, retry=2000)
        await asyncio.sleep(LOOK_EVERY_S)
