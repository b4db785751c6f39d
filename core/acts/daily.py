"""What the farm does by itself each morning: the day's tasks, and shifts for the next two weeks."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from core.acts.planning import renew_plan
from core.books import crew, people, tasks
from core.books.ledger import Ledger, Told, Writing
from core.books.roster import said_of_coming
from core.books.tables import Shift, ShiftPattern, ShiftPlace, Task
from core.books.vocabulary import vocabulary
from core.calendar import bounds, instant, weekday
from core.shifts.availability import can_come
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
    words = vocabulary(ledger.session, ledger.farm_id)
    renew_plan(ledger, words, day)
    state = tasks.state(ledger, words, day)
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
    said = said_of_coming(ledger)
    writing = ledger.enter("shifts", told)
    for pattern, on in missing:
        shift = _make(ledger, writing, pattern, on, words)
        for person_id in pattern.usual:
            can = can_come(said.get(person_id, ()), shift.starts_at, shift.ends_at, words.zone)
            if person_id in here and can is not False:
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
