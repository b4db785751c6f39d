"""What the farm does by itself each morning: the day's tasks, and shifts for the next two weeks."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from core.books import crew, people, tasks
from core.books.ledger import Ledger, Told, Writing
from core.books.tables import Availability, Shift, ShiftPattern, ShiftPlace, Task
from core.books.vocabulary import vocabulary
from core.calendar import bounds, instant, weekday
from core.tasks import Work, plan
from core.vocabulary import Vocabulary

AHEAD_DAYS = 14


def make_tasks(ledger: Ledger, day: date, told: Told) -> int | None:
    """Write the day's tasks, open ones of earlier days carried over, those no longer due closed, under one entry.

    Returns:
        The entry's number; None where the day has its tasks already, or there is nothing to do.
    """
    if tasks.tasks_made(ledger, day):
        return None
    state = tasks.state(ledger, vocabulary(ledger.session, ledger.farm_id), day)
    due = plan(state, day, [tasks.work(one) for one in tasks.open_tasks(ledger, day)])
    if due.new or due.kept or due.gone:
        writing = ledger.enter("tasks", told)
        _carry_over(writing, due.kept, due.gone, day)
        for work in due.new:
            _write(writing, ledger.number("task"), work, day)
        return writing.n
    return None


def _carry_over(writing: Writing, kept: Sequence[Work], gone: Sequence[Work], day: date) -> None:
    for work in kept:
        writing.put(Task, {"id": work.id}, day=day, places=list(work.places), minutes=work.minutes)
    for work in gone:
        writing.put(Task, {"id": work.id}, state="done")


def _write(writing: Writing, number: int, work: Work, day: date) -> None:
    writing.record(
        Task,
        id=number,
        day=day,
        what=work.what,
        crop=work.crop,
        places=list(work.places),
        trays=work.trays,
        minutes=work.minutes,
    )


def roll_shifts(ledger: Ledger, day: date, told: Told) -> int | None:
    """Make the shifts of the next two weeks that are missing, with those usually on them who can come.

    Returns:
        The entry's number; None where nothing was missing.
    """
    words = vocabulary(ledger.session, ledger.farm_id)
    missing = _missing(ledger, words, day)
    if not missing:
        return None
    here = {one.id for one in people.crew(ledger)}
    busy = crew.said_busy(ledger)
    writing = ledger.enter("shifts", told)
    for pattern, on in missing:
        shift = _make(ledger, writing, pattern, on, words)
        for person_id in pattern.usual:
            if person_id in here and not any(_is_busy(one, person_id, shift, on, words) for one in busy):
                writing.record(ShiftPlace, shift=shift.id, person_id=person_id)
    return writing.n


def _missing(ledger: Ledger, words: Vocabulary, day: date) -> list[tuple[ShiftPattern, date]]:
    """Pattern and day of each shift that is not in the books; none on closed days."""
    last = day + timedelta(days=AHEAD_DAYS - 1)
    closed = crew.closed_days(ledger, day, last)
    there = {(one.starts_at, one.ends_at) for one in crew.shifts_between(ledger, *bounds(day, last, words.zone))}
    days = [day + timedelta(days=ahead) for ahead in range(AHEAD_DAYS)]
    return [
        (pattern, on)
        for on in days
        for pattern in crew.patterns(ledger)
        if on not in closed and pattern.day == weekday(on) and _hours(pattern, on, words) not in there
    ]


def _hours(pattern: ShiftPattern, on: date, words: Vocabulary) -> tuple[datetime, datetime]:
    return instant(on, pattern.start, words.zone), instant(on, pattern.end, words.zone)


def _make(ledger: Ledger, writing: Writing, pattern: ShiftPattern, on: date, words: Vocabulary) -> Shift:
    starts_at, ends_at = _hours(pattern, on, words)
    shift = Shift(
        farm_id=ledger.farm_id,
        id=f"s{ledger.number('shift')}",
        starts_at=starts_at,
        ends_at=ends_at,
        needed=pattern.needed,
    )
    writing.record(Shift, id=shift.id, starts_at=starts_at, ends_at=ends_at, needed=pattern.needed)
    return shift


def _is_busy(said: Availability, person_id: int, shift: Shift, on: date, words: Vocabulary) -> bool:
    """Whether what a person said keeps them from a shift: a window that touches it, or the same hours every week."""
    if said.person_id != person_id or (said.until is not None and on > said.until):
        return False
    if said.starts_at and said.ends_at:
        return said.starts_at < shift.ends_at and shift.starts_at < said.ends_at
    if said.day != weekday(on) or said.start is None or said.end is None:
        return False
    return instant(on, said.start, words.zone) < shift.ends_at and shift.starts_at < instant(on, said.end, words.zone)
