"""Dosing: sums about tanks, recipes, air and light, each with its steps; to be printed. Nothing is recorded.

What names an acid or a concentrate is never put before a minor, who is told whom to ask.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import HTMLResponse

from core.books.dosing import to_ask
from core.errors import NotListed, OutOfRange
from core.outcome import Fact, fact
from core.people import first_name
from service.board.pages import Page
from service.board.steps import figure, said, slug
from service.board.sums import SUMS, Sum
from service.board.sums.form import Filled, Result, read
from service.board.view import Lead, View
from service.inbox import clean

router = APIRouter()
PAGE = Page("dosing", "/board/dosing", router)

LONGEST_FIELD = 40


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sum on the page: its form as filled in, what is wrong with which field, and what it came to."""

    asked: Sum
    filled: Filled
    faults: Mapping[str, Fact]
    result: Result | None = None
    no: Fact | None = None


@router.get(PAGE.path, response_class=HTMLResponse)
def dosing(view: Lead, request: Request, sum: Annotated[str, Query(max_length=20)] = "") -> Response:
    """Every sum that is for who looks, and the one that was asked for worked out."""
    offered = {name: one for name, one in SUMS.items() if view.person.grown_up or not one.adults}
    chosen = sum if sum in offered else next(iter(offered))
    filled = {name: clean(value)[:LONGEST_FIELD] for name, value in request.query_params.items()}
    sheet = _worked(view, offered[chosen], filled) if sum == chosen else _blank(view, offered[chosen])
    lead = to_ask(view.ledger, view.now) if not view.person.grown_up else None
    speaker = view.speaker(PAGE)

    def option(value: str) -> str:
        return speaker.either(f"option_{slug(value)}", "as_it_stands", words=value)

    return view.show(
        PAGE,
        status=422 if sheet.faults or sheet.no else 200,
        sheet=sheet,
        offered=list(offered),
        minor=not view.person.grown_up,
        lead=first_name(lead.name) if lead else None,
        label_of=lambda one: speaker.either(f"field_{chosen}_{one.name}", f"field_{one.name}"),
        option_name=option,
        option_names=lambda choices: [(one, option(one)) for one in choices],
        steps=[said(one, speaker) for one in sheet.result.steps] if sheet.result else [],
        figure=figure,
    )


def _blank(view: View, asked: Sum) -> Sheet:
    return Sheet(asked, asked.known(view), {})


def _worked(view: View, asked: Sum, filled: Filled) -> Sheet:
    """The sum as filled in; where nothing was, with what the farm's books know."""
    own = {one.name: filled[one.name] for one in asked.fields if one.name in filled}
    if not own:
        return _blank(view, asked)
    figures, faults = read(asked, own)
    if faults:
        return Sheet(asked, own, faults)
    try:
        return Sheet(asked, own, {}, asked.work(figures, view))
    except (OutOfRange, NotListed):
        return Sheet(asked, own, {}, no=fact(f"no_{asked.name}"))
