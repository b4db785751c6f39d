"""Trouble: what is open and what was lately, and one trouble from its report to its close, with its photos."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Annotated

from fastapi import APIRouter, Path, Response
from fastapi.responses import HTMLResponse
from sqlmodel import col, select

from core.books import people, troubles
from core.books.tables import Entry, TroubleReport, TroubleStep
from core.people import first_name
from service.board.pages import Page
from service.board.turned import NotThere
from service.board.view import Lead, View
from service.photos.keeping import jpeg, photos_of
from service.tables import Inbound, Photo

router = APIRouter()
PAGE = Page("trouble", "/board/trouble", router)

LATELY = timedelta(days=30)
MOST = 100


@dataclass(frozen=True, slots=True)
class Line:
    """One thing that was said of a trouble: what, by whom, when, in which words (None: no longer kept)."""

    step: str
    who: str
    at: datetime
    words: str | None


@router.get(PAGE.path, response_class=HTMLResponse)
def listed(view: Lead) -> Response:
    """What is open, the newest first, and what was closed lately."""
    over = select(TroubleReport).where(
        TroubleReport.farm_id == view.farm.id, col(TroubleReport.open).is_(False),
        col(TroubleReport.closed_at) > view.now - LATELY,
    )  # fmt: skip
    closed = view.session.exec(over.order_by(col(TroubleReport.closed_at).desc()).limit(MOST)).all()
    return view.show(PAGE, open=troubles.open_trouble(view.ledger), closed=closed, has=_names(view))


@router.get(PAGE.path + "/{n}", response_class=HTMLResponse)
def one(view: Lead, n: Annotated[int, Path(ge=1, le=10**9)]) -> Response:
    """One trouble, step by step."""
    report = troubles.report(view.ledger, n)
    if report is None:
        raise NotThere
    photos: Sequence[Photo] = photos_of(view.session, view.farm.id, n)
    return view.show(PAGE, "one_trouble.html", one=report, lines=_lines(view, report), photos=photos, has=_names(view))


@router.get(PAGE.path + "/photos/{photo_id}.jpg")
def photo(view: Lead, photo_id: Annotated[int, Path(ge=1, le=10**9)]) -> Response:
    """A photo that came with a text, for who is signed in."""
    found = jpeg(view.session, view.farm.id, photo_id)
    if found is None:
        raise NotThere
    return Response(found, media_type="image/jpeg")


def _names(view: View) -> dict[int | None, str]:
    return {one.id: first_name(one.name) for one in people.crew(view.ledger)}


def _lines(view: View, report: TroubleReport) -> list[Line]:
    steps: list[tuple[str, TroubleReport | TroubleStep]] = [("told", report)]
    steps += [(one.step, one) for one in troubles.steps(view.ledger, report.n)]
    names = _names(view)
    return [Line(step, names.get(one.person_id, ""), one.at, _words(view, one.entry)) for step, one in steps]


def _words(view: View, entry: int) -> str | None:
    """What was written, as long as texts are kept."""
    source = view.session.get_one(Entry, (view.farm.id, entry)).source
    text = view.session.get(Inbound, (view.farm.id, source)) if source else None
    return text.body or None if text else None
