"""The practice phone's addresses. None of them is there unless `ROWCALL_PRACTICE` opens it.

Takes from `request.app.state`: `books`, `settings`, `clock()` -> aware now, `answer_now(farm_id, inbound_id)`, and
`stopping`, an event that is set when the server is to stop.
"""

from __future__ import annotations

from collections.abc import AsyncIterator, Mapping
from typing import Annotated, Any
from urllib.parse import urlencode
from uuid import uuid4

from fastapi import APIRouter, Body, Depends, Header, HTTPException, Query, Request, Response
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse
from fastapi.sse import EventSourceResponse, ServerSentEvent
from pydantic import BaseModel

from core.errors import NoSuchFarm
from service.practice.page import SECURITY, Box, examples, page_html
from service.practice.stream import Mark, Watch, mark_now, news
from service.practice.texting import PracticeText, WrongText, hand_over
from service.practice.thread import Caller, Line, caller, lines, listed, practice_farm
from service.segments import Segments, count

FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")
"""What a page without script posts."""


def open_only(request: Request) -> None:
    """Nothing is here on a farm that does not practise, or has no farm yet."""
    if not request.app.state.settings.practice:
        raise HTTPException(404)
    with request.app.state.books.read() as session:
        try:
            practice_farm(session)
        except NoSuchFarm as error:
            raise HTTPException(404, str(error)) from None


router = APIRouter(prefix="/practice", tags=["practice phone"], dependencies=[Depends(open_only)])


class Reply(BaseModel):
    """One reply: what it says and costs."""

    text: str
    encoding: str
    units: int
    segments: int


class Replies(BaseModel):
    """The answer to a text; the same whenever the same id is sent again."""

    id: str
    replies: list[Reply]


class People(BaseModel):
    """Everybody one can text as."""

    people: list[Caller]


class Thread(BaseModel):
    """The texts to and from one person, oldest first."""

    who: Caller
    lines: list[Line]


async def posted(request: Request) -> bytes | Mapping[str, Any]:
    """The fields of a form, or the body as it is."""
    if request.headers.get("content-type", "").startswith(FORMS):
        return {name: value for name, value in (await request.form()).items() if name != "sent" or value}
    return await request.body()


@router.get("", response_class=HTMLResponse)
def page(
    request: Request,
    chosen: Annotated[str | None, Query(alias="as")] = None,
    example: int | None = None,
    sent: str = "",
) -> Response:
    """The page, for one person; `example` puts one of the example texts into the box."""
    return _page(request, chosen, Box(sent=sent), example)


def _page(request: Request, chosen: str | None, box: Box, example: int | None = None) -> Response:
    state = request.app.state
    with state.books.read() as session:
        farm = practice_farm(session)
        people = listed(session, farm)
        who = caller(session, farm, chosen) if chosen else people[0]
        if who is None:
            box = Box(box.text, box.sent, f"Nobody here is {chosen}. This is {people[0].name}.")
        shown = who or people[0]
        if example is not None and 0 <= example < len(examples(shown)):
            box = Box(examples(shown)[example], box.sent)
        thread = lines(session, farm, shown.phone)
        since = mark_now(session, farm, state.clock())
        html = page_html(farm.name, people, shown, thread, box, since=since, text_id=uuid4())
    return HTMLResponse(html, status_code=422 if box.fault else 200, headers=SECURITY)


@router.post(
    "/texts",
    response_model=Replies,
    responses={303: {"description": "A form was posted: back to the page."}},
    openapi_extra={
        "requestBody": {
            "required": True,
            "content": {kind: {"schema": PracticeText.model_json_schema()} for kind in ("application/json", FORMS[0])},
        }
    },
)
def text(request: Request, body: Annotated[Any, Depends(posted)]) -> Response:
    """A text as somebody; the answer holds the farm's replies. A form is answered with the page."""
    state = request.app.state
    try:
        said = PracticeText.read(body)
        answered = hand_over(state.books, said, said.id or str(uuid4()), state.clock(), state.answer_now)
    except WrongText as error:
        if isinstance(body, bytes):
            raise HTTPException(422, str(error)) from None
        fields = {name: str(body.get(name, "")) for name in ("from", "text", "sent")}
        return _page(request, fields["from"], Box(fields["text"], fields["sent"], str(error)))
    if isinstance(body, bytes):
        replies = [Reply(**{name: getattr(one, name) for name in Reply.model_fields}) for one in answered.replies]
        return JSONResponse(Replies(id=answered.id, replies=replies).model_dump())
    back = {"as": answered.handle} | ({"sent": body["sent"]} if body.get("sent") else {})
    return RedirectResponse(f"/practice?{urlencode(back)}#text", status_code=303)


@router.get("/people")
def people(request: Request) -> People:
    """Everybody one can text as, and the newest text of each."""
    with request.app.state.books.read() as session:
        return People(people=listed(session, practice_farm(session)))


@router.get("/threads/{handle}")
def thread(request: Request, handle: str) -> Thread:
    """The texts to and from one person, or one number."""
    with request.app.state.books.read() as session:
        farm = practice_farm(session)
        who = caller(session, farm, handle)
        if who is None:
            raise HTTPException(404, f"nobody here is {handle!r}")
        return Thread(who=who, lines=lines(session, farm, who.phone))


@router.post("/segments")
def segments(text: Annotated[str, Body(embed=True, max_length=20_000)]) -> Segments:
    """What a text would cost. Posted, so that no log of addresses holds the words."""
    return count(text)


def beginning(
    request: Request, since: str | None = None, last_event_id: Annotated[str | None, Header()] = None
) -> Mark:
    """Where news begins: where the last connection broke off, or at `since`, or now."""
    state = request.app.state
    mark = Mark.read(last_event_id) or Mark.read(since)
    if mark is None:
        with state.books.read() as session:
            mark = mark_now(session, practice_farm(session), state.clock())
    return mark


@router.get("/events", response_class=EventSourceResponse)
async def events(request: Request, mark: Annotated[Mark, Depends(beginning)]) -> AsyncIterator[ServerSentEvent]:
    """Texts as they come in and go out."""
    state = request.app.state
    async for event in news(Watch(state.books, mark), state.stopping.is_set):
        yield event
