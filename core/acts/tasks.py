"""What people say about the numbered list they were sent."""

from __future__ import annotations

from collections.abc import Sequence

from sqlmodel import col, select

from core.acts.done_tasks import OPEN_STATES, settle
from core.acts.scene import Scene
from core.books import growing
from core.books.ledger import Writing
from core.books.tables import Cleaning, ListedTask, Task
from core.errors import Refused
from core.notes import TaskReport
from core.outcome import Fact, News, Outcome, fact

NEEDS_COUNT = ("harvest", "sow", "move")
"""Tasks whose figures the books want besides "done"."""


def task(note: TaskReport, scene: Scene) -> Outcome:
    """A listed task (or all of them) was started, done, done in part, cannot be done, or is taken.

    Raises:
        Refused: "no_such_task".
    """
    tasks = _listed(note, scene)
    writing = scene.enter(note)
    for _, one in tasks:
        _set(scene, writing, one, note)
    numbers = tuple(str(number) for number, _ in tasks)
    said = fact(f"task_{note.state}", numbers=numbers, tasks=tuple(told(one) for _, one in tasks), count=note.count)
    news = (News(fact("news_task_cannot", who=scene.name, tasks=said.values["tasks"]), role="coordinator"),)
    ask_counts = note.state == "done" and any(one.what in NEEDS_COUNT for _, one in tasks)
    remarks = (fact("tell_counts"),) if ask_counts else ()
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


def _set(scene: Scene, writing: Writing, one: Task, note: TaskReport) -> None:
    key = {"id": one.id}
    if note.state == "take":
        writing.put(Task, key, taken_by=scene.told.person_id)
        return
    if note.state == "cannot":
        writing.put(Task, key, state="open", taken_by=None)  # it stays on the list, for others
        return
    writing.put(Task, key, state=note.state, done_units=note.count)
    if note.state == "done" and one.what == "clean":
        _cleaned(scene, writing, one)


def _cleaned(scene: Scene, writing: Writing, one: Task) -> None:
    """A cleaning task that is done has cleaned its places; those still planted stay as they are."""
    planted = {stand.place for stand, _ in growing.standing(scene.ledger, one.places)}
    clean = tuple(code for code in one.places if code not in planted)
    writing.record(Cleaning, what="towers", count=len(clean), places=list(clean), on=scene.day)
    scene.mark(writing, clean, "ready")
    settle(scene, writing, "clean", None, clean)
