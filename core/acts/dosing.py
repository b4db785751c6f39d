"""Answers about tanks and air that are reckoned: how to reach a pH or EC, how dry the air is, how much light and heat.

Nothing is recorded. Every answer that names an acid or a concentrate carries its caution, goes by halves, and is never
given to a minor, who is told whom to ask.
"""

from __future__ import annotations

from collections.abc import Callable

from core.acts.scene import Scene
from core.books import dosing as books
from core.books.water import last_calibration, latest, tanks
from core.climate import dew_point_c, dli_mol, drips_on, hours_for, lamp_heat_btu_h, vpd_kpa
from core.dosing.acids import dose
from core.dosing.elements import molar_masses
from core.dosing.recipes import recipe
from core.dosing.tank import lower_ec, raise_ec
from core.errors import OutOfRange, Refused
from core.notes import Reckon, Want
from core.outcome import Fact, Outcome, fact
from core.people import first_name
from core.readings import likely

FIRST_SHARE = 0.5
"""So much of a dose goes in at first, then it is measured again. Common practice, no source."""

FIRST_SHARE_ACID = 0.25
"""The same for acid and base, which go further than reckoned where the water is not the one that was analysed."""

NEAR_ENOUGH = {"ph": 0.1, "ec": 0.05}
"""Nearer than this nothing is dosed: the probe itself is no surer. Common practice, no source."""

WARM_C = 22.0
"""Water is taken as this warm where it was not measured. Common practice, no source."""


def want(note: Want, scene: Scene) -> Outcome:
    """How to bring a tank to a wanted pH or EC, in steps, from the farm's own bottles, water, tank and level.

    Raises:
        Refused: "unwise_target", where no plant wants that.
    """
    measure, value, where = str(note.measure), float(note.value or 0), str(note.where)
    if not likely(measure, value):
        raise Refused("unwise_target", reading={"measure": measure, "value": value})
    if scene.actor is not None and not scene.actor.grown_up:
        lead = books.to_ask(scene.ledger, scene.told.said_at)
        return Outcome((fact("dose_minor", who=first_name(lead.name) if lead else None),))
    last = last_calibration(scene.ledger, measure, where)
    if last is not None and last.verdict == "bad":
        return Outcome((fact("dose_bad_probe"),))
    now = _now(note, scene)
    if now is None:
        return Outcome((fact("dose_measure_first", measure=measure, where=where),))
    if abs(now - value) < NEAR_ENOUGH[measure]:
        return Outcome((fact("dose_not_needed", reading={"measure": measure, "value": now}, where=where),))
    try:
        return Outcome(_ec(where, now, value, scene) if measure == "ec" else _ph(where, now, value, scene))
    except OutOfRange:
        return Outcome((fact("dose_out_of_reach", where=where),))


def _now(note: Want, scene: Scene) -> float | None:
    """What the tank reads: as said, else as just measured."""
    if note.now is not None:
        return note.now
    last = books.fresh(scene.ledger, str(note.measure), str(note.where), scene.told.said_at, books.READING_HOLDS)
    return last.value if last else None


def _ec(where: str, now: float, value: float, scene: Scene) -> tuple[Fact, ...]:
    litres, known = books.volume_l(scene.ledger, where, scene.told.said_at)
    if value < now:
        plan = lower_ec(litres, tanks(scene.ledger)[where].volume_l, now, value, books.water_ec(scene.ledger))
        kind = "dose_drain" if plan.drain_l else "dose_water"
        return (fact(kind, where=where, drain_ml=rounded(plan.drain_l * 1000), water_ml=rounded(plan.water_l * 1000)),)
    feed = books.feed(scene.ledger)
    if feed is None:
        return (fact("dose_unknown_bottle", supply={"item": "nutrient_a"}), fact("caution_concentrate"))
    plan = raise_ec(litres, now, value, feed)
    return (
        fact(
            "dose_nutrients", where=where, litres_ml=litres * 1000, full=None if known else "as_full",
            a_ml=rounded(plan.a_ml), b_ml=rounded(plan.b_ml),
            first_a_ml=rounded(plan.a_ml * FIRST_SHARE), first_b_ml=rounded(plan.b_ml * FIRST_SHARE),
        ),
        fact("caution_concentrate"),
    )  # fmt: skip


def _ph(where: str, now: float, value: float, scene: Scene) -> tuple[Fact, ...]:
    item = "ph_down" if value < now else "ph_up"
    bottle = books.bottle_of(scene.ledger, item)
    buffers = books.buffers(scene.ledger, _water_c(where, scene), _phosphate(where, scene))
    if bottle is None or buffers is None:
        return (fact("dose_unknown_bottle", supply={"item": item}), fact(f"caution_{item}"))
    litres, known = books.volume_l(scene.ledger, where, scene.told.said_at)
    found = dose(bottle, buffers, now, value, litres)
    first = rounded(found.ml * FIRST_SHARE_ACID)
    said = fact(
        "dose_acid", where=where, supply={"item": item}, litres_ml=litres * 1000, full=None if known else "as_full",
        ml=rounded(found.ml), first_ml=first,
    )  # fmt: skip
    return (said, fact(f"caution_{item}"))


def _water_c(where: str, scene: Scene) -> float:
    last = books.fresh(scene.ledger, "water_temp", where, scene.told.said_at, books.LEVEL_HOLDS)
    return last.value if last else WARM_C


def _phosphate(where: str, scene: Scene) -> float:
    """Phosphate of the nutrients in a tank, as the leafy recipe has it at the tank's EC. [mmol/L]"""
    last = latest(scene.ledger, "ec", where)
    share = min(last.value / FULL_STRENGTH_MS_CM, 2.0) if last else 1.0
    return recipe("leafy").ppm["P"] / molar_masses()["P"] * share


FULL_STRENGTH_MS_CM = 1.5
"""EC of the leafy recipe at full strength, by core.dosing.ec."""


def rounded(ml: float) -> float:
    """Millilitres as they can be measured out: to a tenth below 10, a hundredth or so above."""
    for least, to in ((20_000, 500), (1000, 50), (100, 5), (10, 1)):
        if ml >= least:
            return float(round(ml / to) * to)
    return round(ml, 1)


def reckon(note: Reckon, scene: Scene) -> Outcome:
    """A sum about air or light, with what was said, or what the room last read.

    Raises:
        Refused: "unreckonable", where the figures cannot be.
    """
    try:
        return Outcome(REPLIES[str(note.about)](note, scene))
    except OutOfRange:
        raise Refused("unreckonable") from None


def _air(note: Reckon, scene: Scene) -> tuple[float, float] | None:
    """Temperature and humidity: as said, else as the room last read. [degC, %]"""
    read = {measure: latest(scene.ledger, measure, "room") for measure in ("air_temp", "humidity")}
    temp = note.air_c if note.air_c is not None else getattr(read["air_temp"], "value", None)
    humidity = note.humidity if note.humidity is not None else getattr(read["humidity"], "value", None)
    return None if temp is None or humidity is None else (temp, humidity)


def _vpd(note: Reckon, scene: Scene) -> tuple[Fact, ...]:
    air = _air(note, scene)
    if air is None:
        return (fact("air_needed"),)
    kpa = vpd_kpa(*air)
    verdict = "vpd_low" if kpa < VPD_KPA[0] else "vpd_high" if kpa > VPD_KPA[1] else "vpd_fine"
    return (fact(verdict, kpa=round(kpa, 2), air_c=air[0], humidity=air[1], low=VPD_KPA[0], high=VPD_KPA[1]),)


VPD_KPA = (0.6, 1.2)
"""For leafy greens in leaf; seedlings like less. General practice of controlled growing, from memory. [kPa]"""


def _dew_point(note: Reckon, scene: Scene) -> tuple[Fact, ...]:
    air = _air(note, scene)
    if air is None:
        return (fact("air_needed"),)
    said = fact("dew_point", dew_c=dew_point_c(*air), air_c=air[0], humidity=air[1])
    if note.wall_c is None:
        return (said,)
    return (said, fact("wall_drips" if drips_on(note.wall_c, *air) else "wall_dry", wall_c=note.wall_c))


def _dli(note: Reckon, _: Scene) -> tuple[Fact, ...]:
    if note.ppfd is None or note.hours is None:
        return (fact("light_needed"),)
    return (fact("dli", dli=round(dli_mol(note.ppfd, note.hours), 1), ppfd=note.ppfd, hours=note.hours),)


def _light_hours(note: Reckon, _: Scene) -> tuple[Fact, ...]:
    if note.ppfd is None or note.dli is None:
        return (fact("light_needed"),)
    return (fact("light_hours", hours=round(hours_for(note.dli, note.ppfd), 1), dli=note.dli, ppfd=note.ppfd),)


def _lamp_heat(note: Reckon, _: Scene) -> tuple[Fact, ...]:
    if note.watts is None:
        return (fact("watts_needed"),)
    return (fact("lamp_heat", watts=note.watts, btu=round(lamp_heat_btu_h(note.watts))),)


REPLIES: dict[str, Callable[[Reckon, Scene], tuple[Fact, ...]]] = {
    "vpd": _vpd,
    "dew_point": _dew_point,
    "dli": _dli,
    "light_hours": _light_hours,
    "lamp_heat": _lamp_heat,
}
"""What a sum is about -> how it is answered."""
