"""Texts: the line's log, in and out, how far each is and what it cost; searched; unread ones to be seen to."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Query, Response
from fastapi.responses import HTMLResponse, RedirectResponse
from pydantic import AwareDatetime
from starlette.datastructures import URL

from service.board.forms import Posted
from service.board.log_book import A_PAGE, Asked, Line, Show, log
from service.board.pages import Page
from service.board.turned import NotThere
from service.board.view import Coordinator, View
from service.inbox import clean
from service.tables import Inbound

router = APIRouter()
PAGE = Page("texts", "/board/texts", router, "coordinator")


@router.get(PAGE.path, response_class=HTMLResponse)
def texts(
    view: Coordinator,
    words: Annotated[str, Query(max_length=100)] = "",
    show: Show = "all",
    before: AwareDatetime | None = None,
) -> Response:
    """The newest texts, or those asked for."""
    asked = Asked(clean(words).strip(), show, before)
    lines = log(view.session, view.farm.id, asked, view.now)
    return view.show(PAGE, asked=asked, lines=lines, older=_older(view, lines))


def _older(view: View, lines: list[Line]) -> str | None:
    """The address of the next page; None where this is the last one."""
    if len(lines) < A_PAGE:
        return None
    here = URL(str(view.request.url))
    return f"{PAGE.path}?{here.include_query_params(before=_mark(lines[-1].beside[0])).query}"


def _mark(at: datetime) -> str:
    return at.isoformat().replace("+00:00", "Z")


@router.post(PAGE.path + "/settle")
def settle(view: Coordinator, fields: Posted) -> Response:
    """A text that was not understood has been seen to."""
    with view.books.write() as session:
        row = session.get(Inbound, (view.farm.id, fields.get("id", "")))
        if row is None:
            raise NotThere
        row.settled_at = view.now
    return RedirectResponse(f"{PAGE.path}?show=unread", status_code=303)
