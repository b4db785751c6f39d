"""What a coordinator sets once: how strong the nutrients, the acid and the base are, and what the water brings."""

from __future__ import annotations

from core.acts.scene import Scene
from core.books.tables import Strength
from core.dosing.acids import bottle
from core.dosing.carbonate import buffers_of
from core.dosing.tank import Feed
from core.errors import OutOfRange
from core.outcome import Outcome

BOTTLES = ("ph_down", "ph_up")


def set_nutrients(a_ml_l: float, b_ml_l: float, raises_ms_cm: float, scene: Scene) -> Outcome:
    """So much of A and of B in a litre of water raise its EC by so much, by the label or measured. [mL/L, mS/cm]

    Raises:
        OutOfRange: the figures cannot be.
    """
    Feed(a_ml_l, b_ml_l, raises_ms_cm)
    return _put("nutrients", "", {"a_ml_l": a_ml_l, "b_ml_l": b_ml_l, "raises_ms_cm": raises_ms_cm}, scene)


def set_bottle(item: str, substance: str, percent: float, density: float | None, scene: Scene) -> Outcome:
    """What is in the bottle "ph_down" or "ph_up", by its label. [% by mass, kg/L]

    Raises:
        NotListed: there is no such substance, or no density is known for that strength of it.
        OutOfRange: the figures cannot be, an acid does not go up or a base down.
    """
    held = bottle(substance, percent, density)
    if item not in BOTTLES or held.substance.base != (item == "ph_up"):
        raise OutOfRange(f"{substance} as {item}", "an acid is ph_down, a base is ph_up")
    return _put(item, substance, {"percent": held.percent, "density": held.density}, scene)


def set_water(alkalinity_meq_l: float, ph: float, ec_ms_cm: float, scene: Scene) -> Outcome:
    """The water that fills the tanks, by its analysis. [meq/L, mS/cm]

    Raises:
        OutOfRange: the figures cannot be together.
    """
    buffers_of(alkalinity_meq_l, ph)
    if ec_ms_cm < 0 or alkalinity_meq_l < 0:
        raise OutOfRange(f"water of {alkalinity_meq_l:g} meq/L and EC {ec_ms_cm:g}", "neither is below 0")
    figures = {"alkalinity_meq_l": alkalinity_meq_l, "ph": ph, "ec_ms_cm": ec_ms_cm}
    return _put("water", "", figures, scene)


def _put(item: str, substance: str, figures: dict[str, float], scene: Scene) -> Outcome:
    writing = scene.ledger.enter("strength", scene.told)
    writing.put(Strength, {"item": item}, substance=substance, figures=figures)
    return Outcome(entry=writing.n)
