"""Today: who comes, what to do, what is ready, what is off, what is unanswered."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from fastapi import APIRouter, Response
from fastapi.responses import HTMLResponse

from core.acts.picture import picture, shifts_on
from core.acts.ranges import range_facts
from core.books import crew, people, tasks
from core.books.tables import Task
from core.people import first_name
from service.board.pages import Page
from service.board.view import Lead, View
from service.board.waiting import open_questions, unread

router = APIRouter()
PAGE = Page("today", "/board", router)

STATES = ("started", "open", "partial", "done")
"""Of tasks, in the order shown: what is under way first, what is done last."""


@dataclass(frozen=True, slots=True)
class Todo:
    """One task of the day, and who took it ("" for nobody)."""

    task: Task
    taken_by: str


@router.get(PAGE.path, response_class=HTMLResponse)
def today(view: Lead) -> Response:
    """The farm on this day."""
    day = picture(view.ledger, view.vocabulary, view.today, view.now)
    tomorrow = view.today + timedelta(days=1)
    return view.show(
        PAGE,
        day=day,
        tomorrow=tomorrow,
        tomorrows=shifts_on(view.ledger, view.vocabulary, tomorrow),
        tomorrow_closed=tomorrow in crew.closed_days(view.ledger, tomorrow, tomorrow),
        todo=_todo(view),
        ripe_plants=sum(one.plants for one in day.ripe),
        readings=[(one, range_facts(one.measure, one.wanted)) for one in day.readings],
        questions=open_questions(view.session, view.farm.id, view.now),
        unread=unread(view.session, view.farm.id, view.now) if view.coordinates else (),
    )


def _todo(view: View) -> dict[str, list[Todo]]:
    """The day's tasks by their state, the states in order; empty ones left out."""
    shown = tasks.tasks_shown(view.ledger, view.today)
    takers = {one.taken_by for one in shown if one.taken_by is not None}
    names = {taker: first_name(people.person(view.ledger, taker).name) for taker in takers}
    by_state = {state: _in_state(shown, state, names) for state in STATES}
    return {state: found for state, found in by_state.items() if found}


def _in_state(shown: Sequence[Task], state: str, names: dict[int, str]) -> list[Todo]:
    return [Todo(one, names.get(one.taken_by or 0, "")) for one in shown if one.state == state]
