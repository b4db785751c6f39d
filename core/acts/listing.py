"""The numbers under which tasks were listed to a person: what "2 done" refers to. They hold all day."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import count

from sqlmodel import select

from core.books.ledger import Ledger, Told
from core.books.tables import ListedTask

NO_TASK = 0
"""What a number stands for that was on an earlier day's list."""


def numbers_on(ledger: Ledger, person_id: int | None, day: date) -> dict[int, int]:
    """Task -> its number, of those listed to a person on a day."""
    query = select(ListedTask).where(ListedTask.farm_id == ledger.farm_id, ListedTask.person_id == person_id)
    return {row.task: row.n for row in ledger.session.exec(query.where(ListedTask.on == day)) if row.task != NO_TASK}


def numbered(ledger: Ledger, person_id: int | None, day: date, tasks: Sequence[int]) -> list[int]:
    """The numbers tasks have or get for a person on a day: those they had that day already, else the next free ones."""
    had = numbers_on(ledger, person_id, day)
    free = (n for n in count(1) if n not in had.values())
    return [had[task] if task in had else next(free) for task in tasks]


def number_list(ledger: Ledger, person_id: int, tasks: Sequence[int], day: date, told: Told) -> int:
    """Keep the numbers of the tasks just listed to a person; those of earlier days are void.

    Returns:
        The entry's number.
    """
    numbers = numbered(ledger, person_id, day, tasks)
    writing = ledger.enter("list", told)
    query = select(ListedTask).where(ListedTask.farm_id == ledger.farm_id, ListedTask.person_id == person_id)
    for row in ledger.session.exec(query).all():
        if row.on != day and row.n not in numbers and row.task != NO_TASK:
            writing.put(ListedTask, {"person_id": person_id, "n": row.n}, task=NO_TASK)
    for n, task in zip(numbers, tasks, strict=True):
        writing.put(ListedTask, {"person_id": person_id, "n": n}, task=task, on=day)
    return writing.n
