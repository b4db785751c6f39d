"""The web service: carriers' webhooks, the practice phone, health, and the clockwork beside them."""

from __future__ import annotations

import threading
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from datetime import UTC, datetime
from typing import Any

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse, PlainTextResponse, RedirectResponse, Response
from fastapi.staticfiles import StaticFiles
from fastapi_offline import FastAPIOffline
from prometheus_client import CONTENT_TYPE_LATEST
from sqlalchemy import text
from sqlalchemy.exc import SQLAlchemyError

from core.books.store import Books
from service import inbox, outbox
from service.arrivals import Arrivals
from service.board.install import install as install_board
from service.carriers import Carrier
from service.carriers.practice import Practice
from service.carriers.routes import router as carrier_routes
from service.carriers.twilio import Twilio
from service.clockwork import Clockwork
from service.feeds.routes import router as address_routes
from service.figures import router as figure_routes
from service.line import Line
from service.metrics import Figures
from service.practice.routes import router as practice_routes
from service.readings.mqtt import listener
from service.readings.routes import router as reading_routes
from service.settings import Settings


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
    figures = Figures(books, clock)
    line.conversation = figures.watched(line.conversation)
    clockwork = Clockwork(line, settings.carrier, settings.keep_texts_days)
    broker = listener(settings, books, clock)

    @asynccontextmanager
    async def life(_: FastAPI) -> AsyncIterator[None]:
        line.start()
        if settings.clockwork:
            clockwork.start()
            broker.start()
        yield
        app.state.stopping.set()
        if settings.clockwork:
            clockwork.stop()
            broker.stop()
        line.stop()
        twilio.close()
        books.close()

    # The page at /docs brings its own script and style: a farm's network may reach nothing else.
    app = FastAPIOffline(title="Rowcall", summary="One phone number for a community container farm.", lifespan=life)
    app.state.books, app.state.settings, app.state.clock = books, settings, clock
    app.state.arrivals = Arrivals(books)
    app.state.wake, app.state.answer_now = line.wake, line.answer_now
    app.state.send, app.state.send_soon = line.send, line.send_soon
    app.state.clockwork, app.state.stopping = clockwork, threading.Event()
    app.include_router(carrier_routes(twilio))
    app.include_router(address_routes)
    app.include_router(figure_routes)
    app.include_router(reading_routes)
    if settings.practice:
        app.include_router(practice_routes)
        app.mount("/practice/static", StaticFiles(packages=[("service.practice", "static")]))
    install_board(app)
    front = "/practice" if settings.practice else "/board"
    app.get("/", include_in_schema=False)(lambda: RedirectResponse(front))
    _watchable(app, figures)
    return app


def _watchable(app: FastAPI, figures: Figures) -> None:
    """The addresses by which the process is watched."""
    app.get("/health", tags=["health"], summary="Is everything running?")(health)
    app.get("/metrics", tags=["health"], summary="Figures for Prometheus.", response_class=PlainTextResponse)(
        lambda: Response(figures.text(), media_type=CONTENT_TYPE_LATEST)
    )


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
