"""What people say about the numbered list they were sent."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import timedelta

from sqlmodel import col, select

from core.acts.cleaning import cleaned, clear, settle_upkeep, standing_in
from core.acts.done_tasks import OPEN_STATES
from core.acts.scene import Scene
from core.acts.stands import empty, put, take, total
from core.books import growing
from core.books.ledger import Writing
from core.books.tables import Cleaning, ListedTask, Task
from core.crops import up_on
from core.errors import Refused
from core.notes import TaskReport
from core.outcome import Fact, News, Outcome, fact

NEEDS_COUNT = ("harvest", "sow", "move")
"""Tasks whose figures the books want besides "done"."""

LONGEST_TASK = timedelta(hours=3)
"""From begin to end longer than this, somebody forgot to say when they were done. Common practice, no source."""


def task(note: TaskReport, scene: Scene) -> Outcome:
    """A listed task (or all of them) was started, done, done in part, cannot be done, or is taken.

    Raises:
        Refused: "no_such_task".
    """
    tasks = _listed(note, scene)
    writing = scene.enter(note)
    effects = [effect for _, one in tasks for effect in _set(scene, writing, one, note)]
    numbers = tuple(str(number) for number, _ in tasks)
    said = fact(
        f"task_{note.state}",
        numbers=numbers,
        tasks=tuple(told(one) for _, one in tasks),
        count=note.count,
        minutes=note.minutes,
    )
    news = (News(fact("news_task_cannot", who=scene.name, tasks=said.values["tasks"]), role="coordinator"),)
    ask_counts = note.state == "done" and any(one.what in NEEDS_COUNT for _, one in tasks)
    remarks = (*effects, *((fact("tell_counts"),) if ask_counts else ()))
    return Outcome((said,), remarks, entry=writing.n, news=news if note.state == "cannot" else ())


def told(task: Task) -> Fact:
    """A task as it is named in a text."""
    return fact(f"todo_{task.what}", crop=task.crop, places=tuple(task.places), trays=task.trays)


def _numbered(scene: Scene) -> Sequence[tuple[int, Task]]:
    query = (
        select(ListedTask.n, Task)
        .join(Task, (col(Task.farm_id) == ListedTask.farm_id) & (col(Task.id) == ListedTask.task))
        .where(ListedTask.farm_id == scene.ledger.farm_id, ListedTask.person_id == scene.told.person_id)
        .order_by(col(ListedTask.n))
    )
    return scene.ledger.session.exec(query).all()


def _listed(note: TaskReport, scene: Scene) -> list[tuple[int, Task]]:
    numbered = _numbered(scene)
    chosen = [(number, one) for number, one in numbered if note.all or number == note.n]
    if note.all and note.state == "done":
        chosen = [(number, one) for number, one in chosen if one.state in OPEN_STATES] or chosen
    if not chosen:
        raise Refused("no_such_task", n=note.n, most=max((number for number, _ in numbered), default=None))
    return chosen


def _set(scene: Scene, writing: Writing, one: Task, note: TaskReport) -> tuple[Fact, ...]:
    """What was said of one task, and what to remark of it."""
    key = {"id": one.id}
    if note.state == "take":
        writing.put(Task, key, taken_by=scene.told.person_id)
        return ()
    if note.state == "cannot":
        writing.put(Task, key, state="open", taken_by=None)  # it stays on the list, for others
        return ()
    if note.state == "started":
        writing.put(Task, key, state="started", started_at=scene.told.said_at, started_by=scene.told.person_id)
        return ()
    writing.put(Task, key, state=note.state, done_units=note.count, took_minutes=_minutes(scene, one, note))
    if note.state == "done" and one.what in EFFECTS:
        return EFFECTS[one.what](scene, writing, one)
    return ()


def _minutes(scene: Scene, one: Task, note: TaskReport) -> float | None:
    """How long it took one person: as said, or from "started" to "done" of the same person."""
    if note.minutes is not None:
        return note.minutes
    if one.started_at is None or one.started_by != scene.told.person_id:
        return None
    took = scene.told.said_at - one.started_at
    return took / timedelta(minutes=1) if timedelta(0) < took <= LONGEST_TASK else None


def _cleaned(scene: Scene, writing: Writing, one: Task) -> tuple[Fact, ...]:
    """A cleaning task that is done has cleaned its places; what has given all its cuts is out, the rest stays."""
    spent, held = standing_in(scene, one.places)
    remarks = clear(scene, writing, spent)
    planted = {stand.place for stand, _ in held}
    clean = tuple(code for code in one.places if code not in planted)
    writing.record(Cleaning, what="towers", count=len(clean), places=list(clean), on=scene.day)
    cleaned(scene, writing, clean)
    return remarks


def _cleared(scene: Scene, writing: Writing, one: Task) -> tuple[Fact, ...]:
    """Plants that give no more are out; their towers are to clean."""
    spent, _ = standing_in(scene, one.places)
    remarks = clear(scene, writing, spent)
    emptied = empty(scene, writing, [stand.place for stand, _ in spent])
    return (*remarks, *((fact("to_clean", places=emptied),) if emptied else ()))


def _uncovered(scene: Scene, writing: Writing, one: Task) -> tuple[Fact, ...]:
    """What was due to leave the cover is on the shelf that the list named."""
    crop = growing.crops(scene.ledger)[str(one.crop)]
    stands = growing.standing(scene.ledger, [scene.vocabulary.cover], one.crop)
    due = [
        (stand, batch)
        for stand, batch in stands
        if (up := up_on(crop, "cover", stand.since or batch.sown_on)) and up <= scene.day
    ]
    put(scene, writing, take(scene, writing, due, total(due)), one.places)
    return ()


def _kept_up(scene: Scene, writing: Writing, one: Task) -> tuple[Fact, ...]:
    """Things of the upkeep are clean."""
    for thing in one.places:
        writing.record(Cleaning, what=thing, places=[], on=scene.day)
        settle_upkeep(scene, writing, thing)
    return ()


EFFECTS: dict[str, Callable[[Scene, Writing, Task], tuple[Fact, ...]]] = {
    "clean": _cleaned,
    "clear": _cleared,
    "uncover": _uncovered,
    "upkeep": _kept_up,
}
"""Kinds of task of which "done" says all that the books want to know."""
