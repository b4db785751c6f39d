"""What there is to do."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from core.acts.answers.shortened import shortened
from core.acts.daily import make_tasks
from core.acts.listing import numbered, numbers_on
from core.acts.picture import to_do
from core.acts.scene import Scene
from core.books import tasks as task_books
from core.books.ledger import Ledger, Told
from core.books.tables import Person
from core.calendar import asked_days
from core.notes import Ask
from core.outcome import Fact, Outcome, fact
from core.tasks import Work, for_minors

MOST_TASKS = 5


def tasks(note: Ask, scene: Scene) -> Outcome:
    """A numbered list of what is to be done, by whose numbers people answer; a day ahead has no numbers yet."""
    day = asked_days(note, scene.day, "today").first if note.date or note.period in ("today", "tomorrow") else scene.day
    if day == scene.day:
        make_tasks(scene.ledger, day, Told(None, scene.told.now, scene.told.now))
    state = task_books.state(scene.ledger, scene.vocabulary, day)
    works = suited(scene.ledger, to_do(scene.ledger, state, day), scene.actor)
    if not works:
        return Outcome((fact("nothing_to_do", day=day),))
    if day != scene.day or any(one.id is None for one in works):
        shown, more = shortened(works, MOST_TASKS)
        return Outcome((fact("to_do_ahead", day=day, tasks=tuple(map(todo, shown)), more=more),))
    return todo_list(works, day, MOST_TASKS, numbered(scene.ledger, scene.told.person_id, day, _ids(works)))


def more(_: Ask, scene: Scene) -> Outcome:
    """The tasks of today that were not yet listed to the sender; after the last of them, that this is all."""
    state = task_books.state(scene.ledger, scene.vocabulary, scene.day)
    works = suited(scene.ledger, to_do(scene.ledger, state, scene.day), scene.actor)
    shown = numbers_on(scene.ledger, scene.told.person_id, scene.day)
    if not shown:
        return tasks(Ask(about="tasks"), scene)
    rest = [one for one in works if one.id is not None and one.id not in shown]
    if not rest:
        return Outcome((fact("no_more_to_do", day=scene.day),))
    return todo_list(rest, scene.day, MOST_TASKS, numbered(scene.ledger, scene.told.person_id, scene.day, _ids(rest)))


def _ids(works: Sequence[Work]) -> list[int]:
    return [one.id for one in works if one.id is not None]


def suited(ledger: Ledger, works: Sequence[Work], person: Person | None) -> list[Work]:
    """What may be given to a person: no work that is for adults to a minor, nothing that somebody else has taken."""
    allowed = for_minors(works) if person is not None and not person.grown_up else list(works)
    open_now = task_books.open_tasks(ledger, date.max)
    others = {one.id for one in open_now if one.taken_by is not None and (person is None or one.taken_by != person.id)}
    return [one for one in allowed if one.id not in others]


def todo_list(works: Sequence[Work], day: date, most: int, numbers: Sequence[int]) -> Outcome:
    """Tasks with the numbers they go by, as many as asked for, and how many more there are."""
    shown, more = shortened(works, most)
    lines = tuple(fact("numbered", n=n, todo=(todo(one),)) for n, one in zip(numbers, shown, strict=False))
    listed = tuple(one.id for one in shown if one.id is not None)
    return Outcome((fact("to_do", day=day, tasks=lines, more=more),), listed=listed)


def todo(work: Work) -> Fact:
    """A task in a few words."""
    people = work.people if work.people > 1 else None
    return fact(f"todo_{work.what}", crop=work.crop, places=work.places, trays=work.trays, people=people)
