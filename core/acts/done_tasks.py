"""A report that finishes a task of the day also closes it: nobody has to say it twice."""

from __future__ import annotations

from collections.abc import Sequence

from sqlmodel import col, select

from core.acts.scene import Scene
from core.books.ledger import Writing
from core.books.tables import Task

OPEN_STATES = ("open", "started", "partial")


def settle(scene: Scene, writing: Writing, what: str, crop: str | None, places: Sequence[str]) -> None:
    """Close the open tasks of this kind and crop whose places were all seen to."""
    query = select(Task).where(
        Task.farm_id == scene.ledger.farm_id,
        Task.day <= scene.day,
        Task.what == what,
        col(Task.state).in_(OPEN_STATES),
    )
    for task in scene.ledger.session.exec(query).all():
        same_crop = task.crop is None or crop is None or task.crop == crop
        if same_crop and task.places and set(task.places) <= set(places):
            writing.put(Task, {"id": task.id}, state="done")
