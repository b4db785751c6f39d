"""Somebody speaks for somebody: who may, and what is then booked as whose."""

from __future__ import annotations

from dataclasses import replace

from core.acts.scene import Scene
from core.notes import OF_ONESELF, Correct, Note
from core.roles import may


def speaking(note: Note, scene: Scene) -> Scene:
    """The scene of a note, as its sender may say it: leads speak for all, guardians for the time of their minors.

    What a volunteer tells of another's work is taken down as their own report.

    Raises:
        Refused: "not_allowed_lead" or "not_allowed_coordinator".
    """
    told = scene.told
    if isinstance(note, Correct) and note.undo:
        return scene  # it finds the sender's own words only, and a guardian has no other role here
    if told.for_id is None or scene.actor is None:
        scene.require(note.act)
        return scene
    if isinstance(note, OF_ONESELF):
        guards = scene.whom is not None and scene.whom.guardian_id == scene.actor.id
        if not guards:
            scene.require("speak_for")
        return scene
    scene.require(note.act)
    return scene if may(scene.actor.role, "speak_for") else replace(scene, told=replace(told, for_id=None))
