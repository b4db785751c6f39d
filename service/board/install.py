"""Hanging the board into the web service: its pages, the way in, headers, and what is said where there is no page."""

from __future__ import annotations

from urllib.parse import urlencode

from fastapi import FastAPI, Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse
from fastapi.staticfiles import StaticFiles

from service.board import door, dosing, live, texts, today, towers, trouble, water, water_table, weeks
from service.board.filling import filled
from service.board.headers import BoardHeaders
from service.board.kept import Kept
from service.board.pages import Page
from service.board.turned import NotSignedIn, Turned
from service.board.wording import FrameSpeaker, languages, spoken

PAGES: tuple[Page, ...] = (today.PAGE, towers.PAGE, weeks.PAGE, water.PAGE, dosing.PAGE, trouble.PAGE, texts.PAGE)
"""Every page, in the order of the navigation."""


def install(app: FastAPI) -> None:
    """Put the board on an app whose state holds `books`, `settings`, `clock`, `send`, `send_soon` and `stopping`."""
    app.state.board_pages, app.state.board_pace, app.state.board_kept = PAGES, door.pace(), Kept()
    app.add_middleware(BoardHeaders, path=door.PATH, https=app.state.settings.public_url.startswith("https:"))
    app.mount(f"{door.PATH}/static", StaticFiles(packages=[("service.board", "static")]))
    app.include_router(door.router)
    app.include_router(live.router)
    app.include_router(water_table.router, tags=["board"])
    for page in PAGES:
        app.include_router(page.router, tags=["board"])
    app.add_exception_handler(Turned, _turn)


def _turn(request: Request, error: Exception) -> Response:
    """To the way in whoever is not signed in and opens a page; else a page that says why not."""
    kind, status = (error.kind, error.status) if isinstance(error, Turned) else ("not_there", 404)
    if isinstance(error, NotSignedIn) and request.method == "GET" and not request.url.path.endswith("/events"):
        path = request.url.path + (f"?{request.url.query}" if request.url.query else "")
        return RedirectResponse(f"{door.SIGN_IN}?{urlencode({'to': path})}", status_code=303)
    language = next((one for one in request.headers.get("accept-language", "")[:2].split() if one in languages()), "en")
    html = filled("turned.html", t=FrameSpeaker(language).t, language=spoken(language), kind=kind)
    return HTMLResponse(html, status_code=status)
