"""What there is to do, and what is planned."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from core.acts.answers.shortened import shortened
from core.acts.daily import make_tasks
from core.acts.picture import to_do
from core.acts.scene import Scene
from core.books import tasks as task_books
from core.books.ledger import Ledger, Told
from core.books.tables import Person
from core.calendar import asked_days
from core.notes import Ask
from core.outcome import Fact, Outcome, fact
from core.tasks import Work, for_minors, half_trays

MOST_TASKS = 5
MOST_CROPS = 3


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
    return todo_list(works, day, MOST_TASKS)


def suited(ledger: Ledger, works: Sequence[Work], person: Person | None) -> list[Work]:
    """What may be given to a person: no work that is for adults to a minor, nothing that somebody else has taken."""
    allowed = for_minors(works) if person is not None and person.age == "minor" else list(works)
    open_now = task_books.open_tasks(ledger, date.max)
    others = {one.id for one in open_now if one.taken_by is not None and (person is None or one.taken_by != person.id)}
    return [one for one in allowed if one.id not in others]


def todo_list(works: Sequence[Work], day: date, most: int) -> Outcome:
    """Tasks numbered from 1, as many as asked for, and how many more there are."""
    shown, more = shortened(works, most)
    lines = tuple(fact("numbered", n=n, todo=(todo(one),)) for n, one in enumerate(shown, 1))
    listed = tuple(one.id for one in shown if one.id is not None)
    return Outcome((fact("to_do", day=day, tasks=lines, more=more),), listed=listed)


def todo(work: Work) -> Fact:
    """A task in a few words."""
    return fact(f"todo_{work.what}", crop=work.crop, places=work.places, trays=work.trays)


def plan(note: Ask, scene: Scene) -> Outcome:
    """The weekly targets and what is still to sow for them, and that this is a rule of thumb."""
    targets = {crop: count for crop, count in task_books.targets(scene.ledger).items() if note.crop in (None, crop)}
    if not targets:
        return Outcome((fact("no_targets", crop=note.crop),))
    shown, more = shortened(sorted(targets.items(), key=lambda one: -one[1]), MOST_CROPS)
    aims = fact("targets", amounts=tuple({"crop": crop, "count": count} for crop, count in shown), more=more)
    missing = {crop: plugs for crop, plugs in task_books.to_sow(scene.ledger, scene.day).items() if crop in targets}
    if not missing:
        return Outcome((aims, fact("sown_enough")))
    cells = scene.vocabulary.tray_cells
    shown_crops, more = shortened(sorted(missing, key=lambda crop: -missing[crop]), MOST_CROPS)
    sowing = tuple(fact("to_sow_crop", crop=crop, trays=half_trays(missing[crop], cells)) for crop in shown_crops)
    return Outcome((aims, fact("to_sow", crops=sowing, more=more)))
