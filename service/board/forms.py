"""What a page's form posts: small, of plain fields, and made for the browser that sends it."""

from __future__ import annotations

import hmac
from collections.abc import Mapping
from typing import Annotated
from urllib.parse import parse_qsl

from fastapi import Depends, HTTPException, Request

from service.board.signing import form_token
from service.board.turned import NotSignedIn, StaleForm
from service.inbox import clean

COOKIE = "rowcall_board"
DOOR_COOKIE = "rowcall_door"
TOKEN = "token"  # noqa: S105  the name of a field
LONGEST_FORM = 65_536  # octets
MOST_FIELDS = 200

Fields = Mapping[str, str]


async def _fields(request: Request) -> Fields:
    """The fields of a form, the last of each name, without control characters."""
    body = b""
    async for chunk in request.stream():
        body += chunk
        if len(body) > LONGEST_FORM:
            raise HTTPException(413)
    try:
        pairs = parse_qsl(body.decode(), keep_blank_values=True, max_num_fields=MOST_FIELDS)
    except ValueError:
        raise HTTPException(400, "not a form") from None
    return {clean(name): clean(value) for name, value in pairs}


def _genuine(request: Request, fields: Annotated[Fields, Depends(_fields)]) -> Fields:
    """The fields of a form that this browser got from us while it was signed in."""
    token = request.cookies.get(COOKIE)
    if token is None:
        raise NotSignedIn
    if not _same(fields.get(TOKEN, ""), form_token(token)):
        raise StaleForm
    return fields


def _at_the_door(request: Request, fields: Annotated[Fields, Depends(_fields)]) -> Fields:
    """The fields of a form of the way in, told from a foreign one by the cookie that came with it."""
    token = request.cookies.get(DOOR_COOKIE)
    if token is None or not _same(fields.get(TOKEN, ""), form_token(token)):
        raise StaleForm
    return fields


def _same(given: str, wanted: str) -> bool:
    return hmac.compare_digest(given.encode(), wanted.encode())


Posted = Annotated[Fields, Depends(_genuine)]
"""The fields of a signed-in person's form."""

PostedAtDoor = Annotated[Fields, Depends(_at_the_door)]
"""The fields of a form of the way in."""
