"""The way in and out: a number, a code sent to it by text, and signing out.

The answer to a number is the same whoever has it. The farm is told by the number texted to, as everywhere; where the
service holds one farm alone, nobody is asked for it.
"""

from __future__ import annotations

import re
import secrets
from datetime import timedelta
from typing import Any

from fastapi import APIRouter, BackgroundTasks, Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse
from sqlmodel import Session, col, select

from core.books.tables import Farm
from service import outbox
from service.board import signing
from service.board.filling import filled
from service.board.forms import COOKIE, DOOR_COOKIE, Fields, Posted, PostedAtDoor
from service.board.pace import Pace
from service.board.wording import FrameSpeaker, languages, spoken
from service.phones import e164

PATH = "/board"
SIGN_IN = f"{PATH}/sign-in"
MOST_KNOCKS = 30
"""Forms of the way in from one address in ten minutes: a crew behind one router signs in with fewer."""

LOCAL = re.compile(r"/board(/[\w./%-]*)?(\?[\w=&%.+-]*)?", re.ASCII)

router = APIRouter(prefix=PATH, tags=["board"])


def pace() -> Pace:
    """The pace of the door, one for each app."""
    return Pace(MOST_KNOCKS, timedelta(minutes=10))


@router.get("/sign-in", response_class=HTMLResponse)
def sign_in(request: Request, farm: str = "", language: str = "", to: str = PATH) -> Response:
    """The way in: asks for a phone number."""
    with request.app.state.books.read() as session:
        here, several = _farm(session, farm)
    language = _language(request, language, here)
    return _page(request, "sign_in", language, farm=farm, several=several, here=here, to=_local(to))


@router.post("/sign-in", response_class=HTMLResponse)
def ask(request: Request, fields: PostedAtDoor, after: BackgroundTasks) -> Response:
    """Sends a code to the number if it is a lead's or a coordinator's; the answer is the same if it is not."""
    if not _may_knock(request):
        return _again(request, fields, "sign_in", "too_many_knocks", 429)
    state = request.app.state
    with state.books.write() as session:
        farm, _ = _farm(session, fields.get("farm", ""))
        phone = e164(fields.get("phone", ""))
        if farm is None or phone is None:
            return _again(request, fields, "sign_in", "no_such_farm" if farm is None else "no_number", 422)
        _send_code(session, farm, phone, state)
    after.add_task(state.send)
    return _again(request, fields, "code", phone=phone, here=farm)


@router.post("/sign-in/code", response_class=HTMLResponse)
def enter(request: Request, fields: PostedAtDoor) -> Response:
    """Opens the board with the code, or says that it was not right."""
    if not _may_knock(request):
        return _again(request, fields, "code", "too_many_knocks", 429)
    state, digits = request.app.state, re.sub(r"\D", "", fields.get("code", ""))
    with state.books.write() as session:
        farm, _ = _farm(session, fields.get("farm", ""))
        phone = e164(fields.get("phone", ""))
        person = signing.open_with(session, farm.id, phone, digits, state.clock()) if farm and phone else None
        if person is not None:
            token = signing.begin(session, person, spoken(fields.get("language") or person.language), state.clock())
    if person is None:
        return _again(request, fields, "code", "wrong_code", 422)
    back = RedirectResponse(_local(fields.get("to", "")), status_code=303)
    _put_cookie(request, back, COOKIE, token, signing.LONGEST)
    back.delete_cookie(DOOR_COOKIE, path=PATH)
    return back


@router.post("/sign-out")
def leave(request: Request, _: Posted) -> Response:
    """Ends the session, here and in the books."""
    with request.app.state.books.write() as session:
        signing.end(session, request.cookies[COOKIE])
    back = RedirectResponse(SIGN_IN, status_code=303)
    back.delete_cookie(COOKIE, path=PATH)
    return back


@router.post("/language")
def choose_language(request: Request, fields: Posted) -> Response:
    """The pages in another language, until signing out."""
    with request.app.state.books.write() as session:
        now = request.app.state.clock()
        signing.touch(session, request.cookies[COOKIE], now, spoken(fields.get("language", "")))
    return RedirectResponse(_local(fields.get("to", "")), status_code=303)


def _send_code(session: Session, farm: Farm, phone: str, state: Any) -> None:
    code, now = signing.new_code(), state.clock()
    person = signing.keep_code(session, farm.id, phone, code, now)
    if person is None:
        return
    outbox.place(
        session,
        farm_id=farm.id,
        key=f"code:{secrets.token_hex(8)}",
        carrier=state.settings.carrier,
        phone=phone,
        person_id=person.id,
        kind="code",
        body=FrameSpeaker(person.language).t("code_text", farm=farm.name, code=code),
        now=now,
        expires_at=now + signing.CODE_LIVES,
    )


def _farm(session: Session, number: str) -> tuple[Farm | None, bool]:
    """The farm meant, and whether there are several to tell apart: the only one, or the one texted to at a number."""
    first = session.exec(select(Farm).order_by(col(Farm.id)).limit(2)).all()
    if len(first) < 2:
        return (first[0] if first else None), False
    phone = e164(number)
    return (session.exec(select(Farm).where(Farm.phone == phone)).first() if phone else None), True


def _may_knock(request: Request) -> bool:
    address = request.client.host if request.client else ""
    allowed: bool = request.app.state.board_pace.allows(address, request.app.state.clock())
    return allowed


def _again(request: Request, fields: Fields, name: str, fault: str = "", status: int = 200, **values: Any) -> Response:
    """A page of the way in after a form, with what was typed kept."""
    with request.app.state.books.read() as session:
        here, several = _farm(session, fields.get("farm", ""))
    kept = {"phone": fields.get("phone", ""), "here": here} | values
    language = _language(request, fields.get("language", ""), here)
    to = _local(fields.get("to", ""))
    return _page(
        request, name, language, status, farm=fields.get("farm", ""), several=several, to=to, fault=fault, **kept
    )


def _page(request: Request, name: str, language: str, status: int = 200, **values: Any) -> Response:
    """A page of the way in; the browser gets a secret of its own for the forms, if it has none."""
    secret = request.cookies.get(DOOR_COOKIE) or secrets.token_urlsafe(24)
    values = {"fault": "", "phone": "", "minutes": int(signing.CODE_LIVES.total_seconds() // 60)} | values
    html = filled(
        f"{name}.html",
        t=FrameSpeaker(language).t,
        language=language,
        languages=languages(),
        token=signing.form_token(secret),
        practice=request.app.state.settings.practice,
        **values,
    )
    answer = HTMLResponse(html, status_code=status)
    _put_cookie(request, answer, DOOR_COOKIE, secret, timedelta(hours=1))
    return answer


def _put_cookie(request: Request, answer: Response, name: str, value: str, lives: timedelta) -> None:
    https = request.app.state.settings.public_url.startswith("https:")
    seconds = int(lives.total_seconds())
    answer.set_cookie(name, value, max_age=seconds, path=PATH, httponly=True, samesite="lax", secure=https)


def _language(request: Request, wanted: str, farm: Farm | None) -> str:
    """The language asked for, else the first of the browser's that we speak, else the farm's own."""
    accepted = re.findall(r"\b([a-z]{2})\b", request.headers.get("accept-language", ""))
    own = farm.languages[0] if farm and farm.languages else "en"
    return next((one for one in (wanted, *accepted, own) if one in languages()), "en")


def _local(path: str) -> str:
    """A place of the board to go to, never one elsewhere."""
    return path if LOCAL.fullmatch(path) and "//" not in path else PATH
