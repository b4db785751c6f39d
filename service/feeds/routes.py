"""The addresses of calendars and letters. Whoever holds one may fetch it; there is nothing else to sign in with."""

from __future__ import annotations

import hashlib
from datetime import date, datetime
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Request, Response
from fastapi.responses import PlainTextResponse
from sqlmodel import Session

from core.books.ledger import Ledger
from core.books.people import person
from core.books.tables import Farm
from core.calendar import local_day
from service import links
from service.feeds import shifts

CALENDAR, LETTER = "calendar", "letter"
"""The kinds of address."""

PRIVATE = {"Cache-Control": "private, no-cache", "X-Robots-Tag": "noindex", "Referrer-Policy": "no-referrer"}
"""The address is the key: no shared cache keeps what it leads to, and no page it is opened from learns it."""

GONE = "This address leads nowhere (any more). Text the farm for a new one."

router = APIRouter(tags=["addresses"])


@router.get("/calendar/{token}.ics", summary="Shifts as iCalendar")
def shifts_calendar(token: str, request: Request) -> Response:
    """A person's shifts, or the farm's; 304 where the calendar has this version already, 404 for no such address."""
    state = request.app.state
    with state.books.read() as session:
        link = links.opened(session, token, CALENDAR, state.clock())
        body = _calendar(session, link, state.clock()) if link else None
    if body is None:
        return _gone()
    tag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers={"ETag": tag, **PRIVATE})
    return Response(body, media_type="text/calendar", headers={"ETag": tag, **PRIVATE})


def _calendar(session: Session, link: links.Opened, now: datetime) -> bytes | None:
    farm = session.get_one(Farm, link.farm_id)
    if link.about.get("person") is None:
        return shifts.of_farm(session, farm, now)
    whose = person(Ledger(session, farm.id), link.about["person"])
    return shifts.of_person(session, farm, whose, now) if whose.state == "here" else None


@router.get("/letters/{token}.pdf", summary="A service-hours letter")
def letter(token: str, request: Request) -> Response:
    """The letter an address leads to, as PDF; 404 for no such address."""
    from service.letters.writing import hours_letter

    state = request.app.state
    now: datetime = state.clock()
    with state.books.read() as session:
        link = links.opened(session, token, LETTER, now)
        if link is None:
            return _gone()
        farm = session.get_one(Farm, link.farm_id)
        whose = person(Ledger(session, farm.id), link.about["person"])
        first, last = date.fromisoformat(link.about["first"]), date.fromisoformat(link.about["last"])
        made = hours_letter(session, farm, whose, first, last, local_day(now, ZoneInfo(farm.timezone)))
    return Response(made, media_type="application/pdf", headers=PRIVATE)


def _gone() -> Response:
    return PlainTextResponse(GONE, status_code=404, headers=PRIVATE)
