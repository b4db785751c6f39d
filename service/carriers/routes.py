"""The addresses a carrier posts to: a text is checked, stored and acknowledged, nothing more; so is news of one."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, HTTPException, Request, Response
from sqlmodel import select

from core.books.tables import Farm
from service import inbox, outbox
from service.carriers import Posted, Webhooks

LONGEST_CALL = 65_536  # octets; a text of 1,600 letters and ten pictures stays far below

FORBIDDEN, NOT_FOUND, UNREADABLE, TOO_LONG = 403, 404, 400, 413


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

    The app's state holds `books`, `settings`, `clock` and `wake`, which is told (farm, text) of each text to be
    finished.
    """
    addresses = APIRouter(prefix=f"/carriers/{carrier.name}", tags=["carriers"])

    @addresses.post("/inbound")
    def inbound(request: Request, call: Call) -> Response:
        """A text to the farm: stored once under the carrier's id, then acknowledged. 403 where it is not signed."""
        if not carrier.is_genuine(call):
            return Response(status_code=FORBIDDEN)
        return _store(request, carrier, call)

    @addresses.post("/status")
    def status(request: Request, call: Call) -> Response:
        """What became of a text sent. 403 where it is not signed."""
        if not carrier.is_genuine(call):
            return Response(status_code=FORBIDDEN)
        news = carrier.news(call)
        if news is not None:
            with request.app.state.books.write() as session:
                outbox.status(session, news, request.app.state.clock())
        return Response(status_code=204)

    return addresses


def _store(request: Request, carrier: Webhooks, call: Posted) -> Response:
    text = carrier.text_in(call)
    if text is None:
        return Response(status_code=UNREADABLE)
    with request.app.state.books.write() as session:
        farm = session.exec(select(Farm).where(Farm.phone == text.to)).first()
        if farm is None:
            return Response(status_code=NOT_FOUND)
        stored, _ = inbox.receive(session, farm, text, request.app.state.clock())
    if stored.done_at is None:
        request.app.state.wake(stored.farm_id, stored.id)
    media_type, content = carrier.receipt
    return Response(content, media_type=media_type)
