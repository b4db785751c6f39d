"""What can be done on the farm: one short function an act, listed in one table that phone, board and command share."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from core.acts import coordinating, crew, giving, harvest, moving, sowing, supplies, tasks, water
from core.acts.answers import answer
from core.acts.correct import correct
from core.acts.scene import Scene
from core.notes import Ask, Correct, Note
from core.outcome import Outcome

ACTS: dict[str, Callable[[Any, Scene], Outcome]] = {
    "harvest": harvest.harvest,
    "loss": moving.loss,
    "sow": sowing.sow,
    "stand": sowing.stand,
    "move": moving.move,
    "clean": moving.clean,
    "reading": water.reading,
    "added": water.added,
    "calibrated": water.calibrated,
    "trouble": water.trouble,
    "free": crew.free,
    "busy": crew.busy,
    "shift": crew.shift,
    "arrive": crew.arrive,
    "leave": crew.leave,
    "hours": crew.hours,
    "task": tasks.task,
    "stock": supplies.stock,
    "gave": giving.gave,
    "announce": coordinating.announce,
    "target": coordinating.target,
    "person": coordinating.add_person,
    "closed": coordinating.closed,
}
"""Kind of note -> what it does. Corrections and questions are carried out by `carry_out` itself."""


def carry_out(note: Note, scene: Scene) -> Outcome:
    """Do what a note says, in the scene's unit of work, or answer with the doubts that stop it.

    Raises:
        Refused: it cannot be done; the caller leaves its unit of work without writing.
    """
    if isinstance(note, Correct):
        return correct(note, scene, carry_out)
    if isinstance(note, Ask):
        return answer(note, scene.told, scene.ledger, scene.vocabulary)
    return ACTS[note.act](note, scene)


__all__ = ["ACTS", "Scene", "carry_out"]
