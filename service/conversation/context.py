"""What the farm knows at the moment a text comes in that bears on how it is read."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlmodel import col, select

from core.acts.correct import mendable
from core.books import troubles
from core.books.crew import shifts_of
from core.books.people import by_handle
from core.books.tables import ListedTask, Task, TroubleReport
from core.notes import Note, from_record
from core.trouble import within
from service.conversation.desk import Desk
from service.questions import alive
from service.understanding.reading import Asked, Context, OpenTrouble, ShiftAhead
from service.understanding.reading import ListedTask as TaskOnList
from service.understanding.speaking import spoken_for

LAST_LIVES = timedelta(hours=24)
"""A correction refers to what was recorded within this long. Common practice, no source."""

YES_OR_NO = ("consent", "join", "ward")
"""Questions of ours that are answered like "are you coming?"."""

APART = ("code", "age", "guardian")
"""Questions of ours that are about no slot of a note: a text is read as if by itself, its answer looked for first."""


def context_of(desk: Desk) -> Context:
    """The sender's shifts, numbered tasks, open question and last record, and open trouble."""
    return Context(
        shifts=_shifts(desk, _asked_for(desk)),
        theirs=theirs(desk),
        tasks=_tasks(desk),
        asked=_asked(desk),
        last=next(iter(last_notes(desk)), None),
        troubles=tuple(
            _trouble(one, desk) for one in troubles.open_trouble(desk.ledger) if one.at <= desk.inbound.sent_at
        ),
    )


def _trouble(one: TroubleReport, desk: Desk) -> OpenTrouble:
    """As the sender knows it. A question put to them since, and still open, is nearer than the trouble."""
    question = alive(desk.question(), desk.now, desk.inbound.sent_at)
    recent = desk.inbound.sent_at - one.at < within().bare
    asked_since = question is not None and question.asked_at > one.at
    knows = desk.person.role in troubles.IN_CHARGE or desk.person.id in troubles.reporters(desk.ledger, one)
    mine = one.taken_by == desk.person.id
    told = recent and not asked_since and (knows or mine)
    return OpenTrouble(one.n, one.kind, tuple(one.places), told, mine, one.taken_by is not None and not mine)


def theirs(desk: Desk) -> dict[str, tuple[ShiftAhead, ...]]:
    """The coming shifts of whom the text is about, by handle, where its sender speaks for somebody."""
    spoken = spoken_for(desk.inbound.body, desk.person.handle, desk.vocabulary)
    named = [whom for one in spoken if (whom := by_handle(desk.ledger, one.whom))]
    return {one.handle: _shifts(desk, one.id) for one in named}


def _asked_for(desk: Desk) -> int:
    """The sender, or whom a shift is of that the sender was just asked to name."""
    question = alive(desk.question(), desk.now, desk.inbound.sent_at)
    whom = question.for_id if question is not None and question.about == "which" else None
    return desk.person.id if whom is None else whom


def _shifts(desk: Desk, person_id: int) -> tuple[ShiftAhead, ...]:
    zone = desk.vocabulary.zone

    def local(at: datetime) -> datetime:
        return at.astimezone(zone).replace(tzinfo=None)

    ahead = shifts_of(desk.ledger, person_id, desk.inbound.sent_at, zone)
    return tuple(ShiftAhead(one.id, local(one.starts_at), local(one.ends_at)) for one in ahead)


def _tasks(desk: Desk) -> tuple[TaskOnList, ...]:
    query = (
        select(ListedTask.n, Task)
        .join(Task, (col(Task.farm_id) == ListedTask.farm_id) & (col(Task.id) == ListedTask.task))
        .where(ListedTask.farm_id == desk.farm.id, ListedTask.person_id == desk.person.id)
        .order_by(col(ListedTask.n))
    )
    return tuple(
        TaskOnList(n, task.what, task.crop, tuple(task.places), task.trays) for n, task in desk.session.exec(query)
    )


def _asked(desk: Desk) -> Asked | None:
    question = alive(desk.question(), desk.now, desk.inbound.sent_at)
    if question is None or question.about in APART:
        return None
    if question.about in YES_OR_NO:
        return Asked("shift", shift=question.about)
    return Asked(question.about, question.shift, from_record(question.draft) if question.draft else None)


def last_notes(desk: Desk) -> list[Note]:
    """What was said last that a correction can be about, the newest first."""
    entries = mendable(desk.scene())
    if not entries or desk.inbound.sent_at - entries[0].said_at > LAST_LIVES:
        return []
    return [from_record(entry.note) for entry in entries]
