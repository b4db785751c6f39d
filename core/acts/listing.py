"""The numbers under which tasks were listed to a person: what "2 done" refers to."""

from __future__ import annotations

from collections.abc import Sequence

from core.books.ledger import Ledger, Told
from core.books.tables import ListedTask
from core.books.tasks import listed

NO_TASK = 0
"""What a number stands for that was on an earlier, longer list."""


def number_list(ledger: Ledger, person_id: int, tasks: Sequence[int], told: Told) -> int:
    """Keep the numbers, from 1, of the tasks just listed to a person; those of earlier lists are void.

    Returns:
        The entry's number.
    """
    writing = ledger.enter("list", told)
    void = [row.n for row, _ in listed(ledger, person_id) if row.n > len(tasks)]
    for n, task in (*enumerate(tasks, 1), *((n, NO_TASK) for n in void)):
        writing.put(ListedTask, {"person_id": person_id, "n": n}, task=task)
    return writing.n
