"""What can be texted to the farm, by what the sender may do."""

from __future__ import annotations

from core.acts.scene import Scene
from core.notes import Ask
from core.outcome import Outcome, fact


def help(_: Ask, scene: Scene) -> Outcome:
    """A few examples; a coordinator's are others."""
    coordinates = scene.actor is not None and scene.actor.role == "coordinator"
    return Outcome((fact("help_coordinator" if coordinates else "help_crew"),))
