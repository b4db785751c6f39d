"""A report that finishes a task of the day also closes it: nobody has to say it twice."""

from __future__ import annotations

from collections.abc import Sequence

from sqlmodel import col, select

from core.acts.scene import Scene
from core.books.ledger import Writing
from core.books.tables import Task

OPEN_STATES = ("open", "started", "partial")


def settle(scene: Scene, writing: Writing, what: str, crop: str | None, places: Sequence[str]) -> None:
    """Take the places that were seen to off the open tasks of this kind and crop; close those with none left."""
    query = select(Task).where(
        Task.farm_id == scene.ledger.farm_id,
        Task.day <= scene.said_on,
        Task.what == what,
        col(Task.state).in_(OPEN_STATES),
    )
    for task in scene.ledger.session.exec(query).all():
        left = [code for code in task.places if code not in places]
        if (task.crop is not None and crop is not None and task.crop != crop) or left == task.places:
            continue
        writing.put(Task, {"id": task.id}, **({"places": left} if left else {"state": "done"}))
