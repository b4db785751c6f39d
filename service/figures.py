"""Pictures that go with texts: each at an address of its own that ends by itself, drawn when it is fetched."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import PlainTextResponse
from sqlmodel import Session

from core.acts.curve import curve
from core.books.ledger import Ledger
from core.books.tables import Person
from core.books.vocabulary import vocabulary
from core.books.water import ROOM
from core.calendar import local_day
from core.outcome import Picture, fact
from core.readings.curve import Curve
from service import links
from service.board import curves
from service.words import Speaker

FIGURE = "figure"
"""The kind of address."""

UNITS = {"ec": "mS/cm", "humidity": "%", "level": "%", "co2": "ppm", "oxygen": "mg/L"}

LIVES = timedelta(days=2)
"""The carrier fetches it within seconds; a phone out of reach, or the practice page, later."""

PRIVATE = {"Cache-Control": "private, no-store", "X-Robots-Tag": "noindex", "Referrer-Policy": "no-referrer"}
GONE = "This picture is not here (any more). Text the farm for a new one."

router = APIRouter(tags=["addresses"])


def address_of(session: Session, farm_id: int, picture: Picture, to: Person, language: str, now: datetime) -> str:
    """A new address at which a picture can be fetched for some days, by whoever knows it."""
    about = {
        "measure": picture.measure, "where": picture.where, "language": language,
        "since": picture.since.isoformat(), "until": picture.until.isoformat(),
    }  # fmt: skip
    token = links.issue(session, farm_id, FIGURE, about, person_id=to.id, now=now, expires_at=now + LIVES)
    return links.address(f"/figures/{token}.png")


@router.get("/figures/{token}.png", summary="A drawing of readings")
def figure(token: str, request: Request) -> Response:
    """The drawing an address leads to, as PNG; 404 for no such address."""
    now: datetime = request.app.state.clock()
    with request.app.state.books.read() as session:
        link = links.opened(session, token, FIGURE, now)
        drawn = png(session, link.farm_id, link.about, now) if link else None
    if drawn is None:
        return PlainTextResponse(GONE, status_code=404, headers=PRIVATE)
    return Response(drawn, media_type="image/png", headers=PRIVATE)


def png(session: Session, farm_id: int, about: dict[str, Any], now: datetime) -> bytes:
    """The drawing of a measure in a tank or "room", over the stretch of time that `about` names."""
    words = vocabulary(session, farm_id)
    since, until = (datetime.fromisoformat(about[end]) for end in ("since", "until"))
    drawn = curve(Ledger(session, farm_id), about["measure"], about["where"], since, until)
    speaker = Speaker(about["language"], words, local_day(now, words.zone))
    fahrenheit = drawn.measure.endswith("temp") and words.temperature_unit == "F"
    scale = curves.FAHRENHEIT if fahrenheit else curves.CELSIUS
    return curves.drawing(drawn, _words(drawn, speaker, fahrenheit=fahrenheit), scale, words.zone).png()


def _words(drawn: Curve, speaker: Speaker, *, fahrenheit: bool) -> curves.Words:
    """What stands in the drawing, in a person's language; what it shows is said in the text beside it."""
    place = None if drawn.where == ROOM else drawn.where
    title = speaker.say(fact("figure_title", measure=drawn.measure, where=place))
    named = {what: speaker.say(fact(f"figure_{what}")) for what in ("read", "wanted", "alarm", "calibrated")}
    months = speaker.manner.data["calendar"]["months"]
    days = tuple(
        (day, f"{months[day.month - 1]} {day.day}") for day in curves.days_of(drawn, speaker.manner.vocabulary.zone)
    )
    degrees = "F" if fahrenheit else "C"
    unit = degrees if drawn.measure.endswith("temp") else UNITS.get(drawn.measure, "")
    return curves.Words(title, title, f"{title} ({unit})" if unit else title, days=days, **named)
