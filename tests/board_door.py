"""Signing in on the board as somebody, over HTTP: asks for a code, reads it from what was texted, types it."""

import re

from sqlmodel import select

from service.tables import Outbound
from tests.browser.farm import PRIYA

WALT, DOLORES = "+13125550101", "+13125550102"
TOKEN = re.compile(r'name="token" value="(\w+)"')


def token_on(page):
    """What the forms of a page carry."""
    return TOKEN.search(page.text)[1]


def codes(app, phone=PRIYA):
    """The codes texted to a number so far, the oldest first."""
    with app.state.books.read() as session:
        sent = select(Outbound.body).where(Outbound.kind == "code", Outbound.phone == phone).order_by(Outbound.id)
        return [re.search(r"\b\d{6}\b", body)[0] for body in session.exec(sent)]


def ask(client, phone=PRIYA, **fields):
    """Ask for a code; the page that follows."""
    token = token_on(client.get("/board/sign-in"))
    return client.post("/board/sign-in", data={"token": token, "phone": phone, **fields})


def enter(client, code, phone=PRIYA, **fields):
    """Type a code; the answer, not followed."""
    token = token_on(client.get("/board/sign-in"))
    said = {"token": token, "phone": phone, "code": code, **fields}
    return client.post("/board/sign-in/code", data=said, follow_redirects=False)


def sign_in(app, client, phone=PRIYA, **fields):
    """Sign in as whoever has the number; the client, now signed in."""
    ask(client, phone)
    assert enter(client, codes(app, phone)[-1], phone, **fields).status_code == 303
    return client


def cookie_of(app, address, phone=PRIYA, language="en"):
    """A session for a browser's cookie jar, without its way in."""
    import httpx

    with httpx.Client(base_url=address) as client:
        sign_in(app, client, phone, language=language)
        return {"name": "rowcall_board", "value": client.cookies["rowcall_board"], "url": f"{address}/board"}
