"""How dry the air is and when it drips, how much light a day comes to, what lamps heat."""

from __future__ import annotations

from core.acts.dosing import VPD_KPA
from core.books import water
from core.climate import (
    BTU_H_A_WATT,
    FAO56,
    MOLES_AN_HOUR,
    dew_point_c,
    dli_mol,
    drips_on,
    hours_for,
    lamp_heat_btu_h,
    saturation_kpa,
    vapour_kpa,
    vpd_kpa,
)
from core.outcome import fact
from core.units import convert
from service.board.sums.form import Field, Figures, Filled, Result, Sum, step
from service.board.view import View

LIGHT_SOURCE = "Spectrum Technologies support note 102, after J. Faust, Light Management"


def _known_air(view: View) -> Filled:
    temp, humidity = (water.latest(view.ledger, one, water.ROOM) for one in ("air_temp", "humidity"))
    scale = view.vocabulary.temperature_unit
    known = {"scale": f"deg{scale}"}
    if temp is not None:
        known["air"] = f"{round(convert(temp.value, 'degC', f'deg{scale}'), 1):g}"
    if humidity is not None:
        known["humidity"] = f"{humidity.value:g}"
    return known


def _air(figures: Figures, _: View) -> Result:
    unit, humidity = figures.choices["scale"], figures["humidity"]
    air = convert(figures["air"], unit, "degC")
    leaf, wall = (
        None if (value := figures.given(one)) is None else convert(value, unit, "degC") for one in ("leaf", "wall")
    )
    vpd, dew = vpd_kpa(air, humidity, leaf), dew_point_c(air, humidity)
    kind = "vpd_low" if vpd < VPD_KPA[0] else "vpd_high" if vpd > VPD_KPA[1] else "vpd_fine"
    said = [fact(kind, kpa=round(vpd, 2), air_c=air, humidity=humidity, low=VPD_KPA[0], high=VPD_KPA[1])]
    said.append(fact("dew_point", dew_c=dew, air_c=air, humidity=humidity))
    if wall is not None:
        said.append(fact("wall_drips" if drips_on(wall, air, humidity) else "wall_dry", wall_c=wall))
    at_leaf, vapour = saturation_kpa(air if leaf is None else leaf), vapour_kpa(air, humidity)
    power = "0.6108 exp(17.27 T / (T + 237.3))"
    steps = (
        step("vapour pressure when saturated, at the leaf", power, {"T": air if leaf is None else leaf}, at_leaf, "kPa",
             f"{FAO56}, eq. 11"),
        step("vapour pressure of the air", f"RH / 100 x {power}", {"RH": humidity, "T": air}, vapour, "kPa",
             f"{FAO56}, eq. 10"),
        step("vapour pressure deficit", "es - ea", {"es": at_leaf, "ea": vapour}, vpd, "kPa", f"{FAO56}, ch. 3"),
        step("dew point", "237.3 q / (17.27 - q), q = ln(ea / 0.6108)", {"ea": vapour}, dew, "°C", f"{FAO56}, eq. 14"),
    )  # fmt: skip
    return Result(tuple(said), steps)


def _light(figures: Figures, _: View) -> Result:
    ppfd, hours = figures["ppfd"], figures["hours"]
    dli, want = dli_mol(ppfd, hours), figures.given("want_dli")
    said = [fact("dli", dli=round(dli, 1), ppfd=ppfd, hours=hours)]
    steps = [
        step("light of a day", "PPFD x h x 3600 / 1000000", {"PPFD": ppfd, "h": hours}, dli, "mol/m²/d", LIGHT_SOURCE)
    ]
    if want is not None:
        needed = hours_for(want, ppfd)
        said.append(fact("light_hours", hours=round(needed, 1), dli=want, ppfd=ppfd))
        numbers = {"DLI": want, "PPFD": ppfd, "k": MOLES_AN_HOUR}
        steps.append(step("hours of light for it", "DLI / PPFD / k", numbers, needed, "h", LIGHT_SOURCE))
    return Result(tuple(said), tuple(steps))


def _lamps(figures: Figures, _: View) -> Result:
    watts = figures["watts"]
    btu = lamp_heat_btu_h(watts)
    numbers = {"W": watts, "k": BTU_H_A_WATT}
    warm = step("warmth to take out", "W x k", numbers, btu, "BTU/h", "NIST SP 811, appendix B.8")
    return Result((fact("lamp_heat", watts=watts, btu=round(btu)),), (warm,))


AIR = Sum(
    "air",
    (
        Field("scale", choices=("degF", "degC")),
        Field("air", "°", -30, 140),
        Field("humidity", "%", 0.1, 100),
        Field("leaf", "°", -30, 140, optional=True),
        Field("wall", "°", -40, 140, optional=True),
    ),
    _air,
    _known_air,
)
LIGHT = Sum(
    "light",
    (
        Field("ppfd", "µmol/m²/s", 0, 3000),
        Field("hours", "h", 0, 24),
        Field("want_dli", "mol/m²/d", 0, 100, optional=True),
    ),
    _light,
    lambda _: {"ppfd": "250", "hours": "16"},
)
LAMPS = Sum("lamps", (Field("watts", "W", 0, 1_000_000),), _lamps, lambda _: {})
