"""The web service: carriers' webhooks, the practice phone, health, and the clockwork beside them."""

from __future__ import annotations

import logging
import threading
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from datetime import UTC, datetime
from queue import SimpleQueue
from typing import Any

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, RedirectResponse
from fastapi.staticfiles import StaticFiles
from fastapi_offline import FastAPIOffline
from sqlalchemy import text
from sqlalchemy.exc import SQLAlchemyError

from core.books.store import Books
from service import inbox, outbox
from service.carriers import Carrier
from service.carriers.practice import Practice
from service.carriers.routes import router as carrier_routes
from service.carriers.twilio import Twilio
from service.clockwork import Clockwork
from service.conversation import Conversation
from service.conversation.keywords import opted_out
from service.practice.routes import router as practice_routes
from service.settings import Settings

log = logging.getLogger(__name__)


class Line:
    """The way of a text through one process: finished by a worker of its own, its replies sent right after."""

    def __init__(self, books: Books, carriers: dict[str, Carrier], clock: Callable[[], datetime]) -> None:
        self.books = books
        self.carriers = carriers
        self.clock = clock
        self.conversation = Conversation()
        self._waiting: SimpleQueue[tuple[int, str] | None] = SimpleQueue()
        self._worker = threading.Thread(target=self._work, name="inbox", daemon=True)

    def start(self) -> None:
        """Finish what a crash left behind, then work as texts come in."""
        outbox.recover(self.books, self.clock())
        inbox.finish_all(self.books, self.conversation, self.clock())
        self._worker.start()

    def stop(self) -> None:
        """Let the worker end; what it has not finished waits in the books."""
        self._waiting.put(None)
        self._worker.join(timeout=10)

    def wake(self, farm_id: int, inbound_id: str) -> None:
        """A stored text waits: finish it soon."""
        self._waiting.put((farm_id, inbound_id))

    def answer_now(self, farm_id: int, inbound_id: str) -> None:
        """Finish a stored text, and what its sender sent before it, before returning."""
        inbox.finish(self.books, farm_id, inbound_id, self.conversation, self.clock())
        self.send()

    def send(self) -> None:
        """Send what is due."""
        outbox.send_due(self.books, self.carriers, self.clock(), opted_out=opted_out)

    def _work(self) -> None:
        while (waiting := self._waiting.get()) is not None:
            try:
                self.answer_now(*waiting)
            except Exception as error:  # noqa: BLE001  the worker outlives it: the text is stored, the next round ends it
                log.error("text %s waits: %s", waiting[1], type(error).__name__)


def create_app(settings: Settings, clock: Callable[[], datetime] = lambda: datetime.now(UTC)) -> FastAPI:
    """The service on the books that the settings name.

    Args:
        settings: what the operator set.
        clock: now, as an aware instant; tests bring their own.
    """
    books = Books(settings.database)
    twilio = Twilio.of(settings)
    carriers: dict[str, Carrier] = {"practice": Practice(), "twilio": twilio}
    line = Line(books, carriers, clock)
    clockwork = Clockwork(line, settings.carrier)

    @asynccontextmanager
    async def life(_: FastAPI) -> AsyncIterator[None]:
        line.start()
        if settings.clockwork:
            clockwork.start()
        yield
        app.state.stopping.set()
        if settings.clockwork:
            clockwork.stop()
        line.stop()
        twilio.close()
        books.close()

    # The page at /docs brings its own script and style: a farm's network may reach nothing else.
    app = FastAPIOffline(title="Rowcall", summary="One phone number for a community container farm.", lifespan=life)
    app.state.books, app.state.settings, app.state.clock = books, settings, clock
    app.state.wake, app.state.answer_now, app.state.send = line.wake, line.answer_now, line.send
    app.state.clockwork, app.state.stopping = clockwork, threading.Event()
    app.include_router(carrier_routes(twilio))
    if settings.practice:
        app.include_router(practice_routes)
        app.mount("/practice/static", StaticFiles(packages=[("service.practice", "static")]))
    front = "/practice" if settings.practice else "/docs"
    app.get("/", include_in_schema=False)(lambda: RedirectResponse(front))
    app.get("/health", tags=["health"], summary="Is everything running?")(health)
    return app


def health(request: Request) -> JSONResponse:
    """State of the database, the clockwork and the outbox; 503 when the database does not answer."""
    state = request.app.state
    report: dict[str, Any] = {"database": "ok", "clockwork": state.clockwork.state(), "outbox": {}}
    try:
        with state.books.read() as session:
            session.execute(text("SELECT 1"))
            report["outbox"] = outbox.state_counts(session)
            report["inbox_waiting"] = len(inbox.undone(session))
    except SQLAlchemyError as error:
        report["database"] = type(error).__name__
    return JSONResponse(report, status_code=200 if report["database"] == "ok" else 503)
