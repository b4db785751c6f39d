"""Air and light: how much the air still takes up, when it drips, how much light a day comes to, what lamps heat.

Vapour pressures are over liquid water, in kPa; temperatures in degC; each formula stands beside its source.
"""

from __future__ import annotations

import math
from typing import Literal

from core.errors import OutOfRange

FAO56 = "Allen R.G. et al., Crop Evapotranspiration, FAO Irrigation and Drainage Paper 56, Rome, 1998"

COLDEST_C, WARMEST_C = -30.0, 60.0
MOLES_AN_HOUR = 0.0036
"""mol/m2 in an hour from 1 umol/m2/s: 3600 s / 1e6. By the definition of the units."""

BTU_H_A_WATT = 3.412142
"""BTU/h in a watt. NIST SP 811, appendix B.8."""

OSHA_8H_PPM = 5_000
"""29 CFR 1910.1000, Table Z-1: average over an eight-hour day."""

NIOSH_15MIN_PPM = 30_000
"""NIOSH short-term limit of 15 minutes, as OSHA's training pages repeat it."""

NIOSH_IDLH_PPM = 40_000
"""NIOSH: immediately dangerous to life or health, as an exposure-limits crosswalk of 2026 repeats it."""

Air = Literal["fine", "leave", "nobody_in", "deadly"]


def saturation_kpa(temp_c: float) -> float:
    """Vapour pressure of saturated air.

    Args:
        temp_c: air temperature, -30 to 60. [degC]

    Returns:
        Vapour pressure. [kPa]

    Raises:
        OutOfRange: the temperature is outside the formula.

    Source:
        FAO 56, equation 11: 0.6108 exp(17.27 T / (T + 237.3)).
    """
    if not COLDEST_C <= temp_c <= WARMEST_C:
        raise OutOfRange(f"air of {temp_c:g} degC", f"the formula is used from {COLDEST_C:g} to {WARMEST_C:g} degC")
    return 0.6108 * math.exp(17.27 * temp_c / (temp_c + 237.3))


def vapour_kpa(temp_c: float, humidity_pct: float) -> float:
    """Vapour pressure of air at a relative humidity. [kPa]

    Raises:
        OutOfRange: the humidity is 0 % or less, or above 100 %.

    Source:
        FAO 56, equation 10: ea = RH/100 e0(T).
    """
    if not 0 < humidity_pct <= 100:
        raise OutOfRange(f"humidity of {humidity_pct:g} %", "it lies above 0 and up to 100 %; check the probe")
    return humidity_pct / 100 * saturation_kpa(temp_c)


def vpd_kpa(temp_c: float, humidity_pct: float, leaf_c: float | None = None) -> float:
    """How much water the air still takes up at the leaf, as a difference of vapour pressures.

    Args:
        temp_c: air temperature. [degC]
        humidity_pct: relative humidity, above 0, at most 100. [%]
        leaf_c: leaf temperature; that of the air where it is not known. [degC]

    Returns:
        Vapour pressure deficit; below 0 where water settles on the leaf. [kPa]

    Raises:
        OutOfRange: a figure is outside the formulas.

    Source:
        FAO 56, ch. 3: es - ea, with equations 10 and 11 for one moment's air.
    """
    return saturation_kpa(temp_c if leaf_c is None else leaf_c) - vapour_kpa(temp_c, humidity_pct)


def dew_point_c(temp_c: float, humidity_pct: float) -> float:
    """Temperature at which the air in the container starts to drip.

    Args:
        temp_c: air temperature. [degC]
        humidity_pct: relative humidity, above 0, at most 100. [%]

    Returns:
        Dew point. [degC]

    Raises:
        OutOfRange: a figure is outside the formulas.

    Source:
        FAO 56, equation 14 (ea = e0(Tdew)) solved for the temperature.
    """
    return dew_point_of(vapour_kpa(temp_c, humidity_pct))


def dew_point_of(vapour: float) -> float:
    """The temperature of saturation for a vapour pressure above 0. [kPa in, degC out]

    Source:
        FAO 56, equation 14 solved: 237.3 ln(ea/0.6108) / (17.27 - ln(ea/0.6108)).
    """
    ratio = math.log(vapour / 0.6108)
    return 237.3 * ratio / (17.27 - ratio)


def drips_on(surface_c: float, temp_c: float, humidity_pct: float) -> bool:
    """Whether a wall or pipe of a temperature is at or below the dew point of the air, so that it gets wet."""
    return surface_c <= dew_point_c(temp_c, humidity_pct)


def dli_mol(ppfd: float, hours: float) -> float:
    """Light of a day from lamps of constant strength.

    Args:
        ppfd: light at the leaves, 0 or more. [umol/m2/s]
        hours: lit a day, 0 to 24. [h]

    Returns:
        Daily light integral. [mol/m2/d]

    Raises:
        OutOfRange: the light is below 0, or the day has not so many hours.

    Source:
        PPFD x 3600 x h / 1e6: Spectrum Technologies support note 102, after J. Faust, Light Management.
    """
    if ppfd < 0 or not 0 <= hours <= 24:
        raise OutOfRange(f"{ppfd:g} umol/m2/s for {hours:g} h", "light is 0 or more, a day 0 to 24 hours")
    return ppfd * hours * MOLES_AN_HOUR


def hours_for(dli: float, ppfd: float) -> float:
    """Hours of light that a wanted daily light integral takes.

    Args:
        dli: wanted. [mol/m2/d]
        ppfd: light at the leaves, above 0. [umol/m2/s]

    Returns:
        Hours a day. [h]

    Raises:
        OutOfRange: there is no light, or the day is too short for it.
    """
    if ppfd <= 0 or dli < 0:
        raise OutOfRange(f"{dli:g} mol from {ppfd:g} umol/m2/s", "measure the light at the leaves; it must be above 0")
    hours = dli / ppfd / MOLES_AN_HOUR
    if hours > 24:
        raise OutOfRange(f"{dli:g} mol takes {hours:.0f} h", "the lamps are too weak or too far for that in a day")
    return hours


def lamp_heat_btu_h(electric_w: float) -> float:
    """Warmth that has to be taken out of a closed room for lamps in it: all the power they draw. [W in, BTU/h out]

    Raises:
        OutOfRange: the power is below 0.

    Source:
        Conservation of energy; 1 W = 3.412 BTU/h (NIST SP 811). What plants bind is a percent or two, left out.
    """
    if electric_w < 0:
        raise OutOfRange(f"{electric_w:g} W", "give the power drawn at the plug, 0 or more")
    return electric_w * BTU_H_A_WATT


def judge_co2(ppm: float) -> Air:
    """What the air of a closed container allows, by the workplace limits.

    Returns:
        "fine" up to the limit of an eight-hour day, "leave" above it, "nobody_in" above the 15-minute limit (nobody
        goes in), "deadly" from what is immediately dangerous.
    """
    if ppm >= NIOSH_IDLH_PPM:
        return "deadly"
    if ppm > NIOSH_15MIN_PPM:
        return "nobody_in"
    return "leave" if ppm > OSHA_8H_PPM else "fine"
