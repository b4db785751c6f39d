"""The addresses a carrier posts to: a text is checked, stored and acknowledged, nothing more; so is news of one."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Annotated

from fastapi import APIRouter, Depends, HTTPException, Request, Response
from sqlalchemy.exc import OperationalError

from service import outbox
from service.carriers import Posted, Webhooks
from service.conversation.keywords import opted_out

LONGEST_CALL = 65_536  # octets; a text of 1,600 letters and ten pictures stays far below

FORBIDDEN, NOT_FOUND, UNREADABLE, TOO_LONG, LATER = 403, 404, 400, 413, 503

log = logging.getLogger(__name__)


async def _posted(request: Request) -> Posted:
    """The call as it came, at the address it was meant for."""
    body = b""
    async for chunk in request.stream():
        body += chunk
        if len(body) > LONGEST_CALL:
            raise HTTPException(TOO_LONG)
    query = f"?{request.url.query}" if request.url.query else ""
    address = request.app.state.settings.public_url.rstrip("/") + request.url.path + query
    return Posted(address, dict(request.headers), body)


Call = Annotated[Posted, Depends(_posted)]


def router(carrier: Webhooks) -> APIRouter:
    """POST /carriers/{name}/inbound and /carriers/{name}/status for one carrier.

    The app's state holds `books`, `arrivals`, `settings`, `clock` and `wake`, which is told (farm, text) of each text
    to be finished.
    """
    addresses = APIRouter(prefix=f"/carriers/{carrier.name}", tags=["carriers"])

    @addresses.post("/inbound")
    def inbound(request: Request, call: Call) -> Response:
        """A text to the farm: stored once under the carrier's id, then acknowledged. 403 where it is not signed."""
        if not carrier.is_genuine(call):
            return Response(status_code=FORBIDDEN)
        return _unless_books_fail(lambda: _store(request, carrier, call))

    @addresses.post("/status")
    def status(request: Request, call: Call) -> Response:
        """What became of a text sent. 403 where it is not signed."""
        if not carrier.is_genuine(call):
            return Response(status_code=FORBIDDEN)
        return _unless_books_fail(lambda: _take_down(request, carrier, call))

    return addresses


def _unless_books_fail(keep: Callable[[], Response]) -> Response:
    """What the books did not keep is not acknowledged: the carrier tries again, or we fetch it from its list."""
    try:
        return keep()
    except OperationalError as error:
        log.error("a call was not kept and not acknowledged: %s", type(error.orig).__name__)
        return Response(status_code=LATER)


def _store(request: Request, carrier: Webhooks, call: Posted) -> Response:
    text = carrier.text_in(call)
    if text is None:
        return Response(status_code=UNREADABLE)
    stored = request.app.state.arrivals.store(text, request.app.state.clock())
    if stored is None:
        return Response(status_code=NOT_FOUND)
    log.info("received", extra={"farm": stored.farm_id, "text": stored.id})
    if stored.done_at is None:
        request.app.state.wake(stored.farm_id, stored.id)
    media_type, content = carrier.receipt
    return Response(content, media_type=media_type)


def _take_down(request: Request, carrier: Webhooks, call: Posted) -> Response:
    news = carrier.news(call)
    if news is not None:
        with request.app.state.books.write() as session:
            outbox.status(session, news, request.app.state.clock(), opted_out=opted_out)
    return Response(status_code=204)
