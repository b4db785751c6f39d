"""Towers and shelves: the farm drawn to its own layout, the same as a table, and the story of one place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Annotated, Any

from fastapi import APIRouter, Path, Response
from fastapi.responses import HTMLResponse
from sqlmodel import select

from core.acts.walk import Told, story, walk
from core.books.tables import Batch, GerminationCount, Gone, Person
from core.brief import brief
from core.outcome import Fact
from core.walk import URGENT, Held, Spot, in_rows, in_runs
from service.board.pages import Page
from service.board.turned import NotThere
from service.board.view import Lead, View

router = APIRouter()
PAGE = Page("towers", "/board/towers", router)

SHOWN = (*URGENT, "free", "to clean", "out")
"""States in the order of the legend."""

MOST_TOLD = 60


@dataclass(frozen=True, slots=True)
class Life:
    """A batch that stands in a place, from seed: counts of what came up, and plants gone by why."""

    held: Held
    batch: Batch
    up: Sequence[GerminationCount]
    gone: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a place's story: who said what (in brief; none for the farm's own entries), and what it changed."""

    told: Told
    who: str
    said: tuple[Fact, ...]


@router.get(PAGE.path, response_class=HTMLResponse)
def towers(view: Lead) -> Response:
    """The whole farm, place by place."""
    spots = walk(view.ledger, view.today)
    rows = in_rows(spots)
    counts = Counter(one.state for one in spots if one.row)
    return view.show(
        PAGE,
        rows={row: places for row, places in rows.items() if row},
        others=rows.get("", []),
        counts=[(state, counts[state]) for state in SHOWN if counts[state]],
        runs=[run for places in rows.values() for run in in_runs(places)],
    )


@router.get(PAGE.path + "/{code}", response_class=HTMLResponse)
def place(view: Lead, code: Annotated[str, Path(max_length=20)]) -> Response:
    """One place: what stands there, where it came from, and all that was told of it."""
    ordered = [one for places in in_rows(walk(view.ledger, view.today)).values() for one in places]
    at = next((n for n, one in enumerate(ordered) if one.code.casefold() == code.casefold()), None)
    if at is None:
        raise NotThere
    here = ordered[at]
    return view.show(
        PAGE,
        "place.html",
        here=here,
        before=ordered[at - 1].code if at else None,
        after=ordered[at + 1].code if at + 1 < len(ordered) else None,
        lives=[_life(view, one) for one in here.held],
        lines=_lines(view, here),
    )


def _life(view: View, one: Held) -> Life:
    of_it: dict[str, Any] = {"farm_id": view.farm.id, "batch": one.batch}
    counted = select(GerminationCount).filter_by(**of_it).order_by(GerminationCount.on)  # type: ignore[arg-type]
    gone: Counter[str] = Counter()
    for each in view.session.exec(select(Gone).filter_by(**of_it)):
        gone[each.why] += each.plants
    batch = view.session.get_one(Batch, (view.farm.id, one.batch))
    return Life(one, batch, view.session.exec(counted).all(), gone)


def _lines(view: View, here: Spot) -> list[Line]:
    told = story(view.ledger, here.code, view.now + timedelta(seconds=1), view.vocabulary.zone)[:MOST_TOLD]
    ids = {one.person_id for one in told if one.person_id is not None}
    people = {number: view.session.get_one(Person, (view.farm.id, number)).name for number in ids}
    return [Line(one, people.get(one.person_id or 0, ""), (brief(one.note),) if one.note else ()) for one in told]
