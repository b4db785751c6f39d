"""The carbonate system of a water: what holds its pH, and how much acid or base moves it from one pH to another.

Closed to the air: no carbon dioxide leaves or enters while the acid works. In an aerated tank some leaves, the pH
creeps up again, and a second measurement shows it; therefore small steps. Activities are taken as concentrations, good
to a tenth of a pH in nutrient solutions. Where phosphate is dissolved it buffers beside the carbonate.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from core.errors import OutOfRange

Given = Callable[[float], float]
"""pH -> protons given. [meq/L]"""

KELVIN = 273.15
MG_CACO3_A_MEQ = 50.04
"""Milligrams of CaCO3 to a milliequivalent of alkalinity: half its molar mass. [mg/meq]"""

PHOSPHATE_PK = (2.148, 7.198, 12.35)
"""CRC Handbook of Chemistry and Physics, at 25 degC; from memory."""

COLDEST_C, WARMEST_C = 0.0, 50.0
LOWEST_PH, HIGHEST_PH = 3.0, 11.0


@dataclass(frozen=True, slots=True)
class Buffers:
    """What holds a water's pH: carbonate and phosphate of every form, and its temperature. [mmol/L, degC]"""

    carbonate: float
    phosphate: float = 0.0
    temp_c: float = 25.0


def pk_carbonate(temp_c: float) -> tuple[float, float]:
    """First and second pK of carbonic acid.

    Source:
        Plummer L.N., Busenberg E., Geochimica et Cosmochimica Acta 46, 1982, p. 1011-1040, valid 0-90 degC.
    """
    t = _kelvin(temp_c)
    first = -356.3094 - 0.06091964 * t + 21834.37 / t + 126.8339 * math.log10(t) - 1684915 / t**2
    second = -107.8871 - 0.03252849 * t + 5151.79 / t + 38.92561 * math.log10(t) - 563713.9 / t**2
    return -first, -second


def pk_water(temp_c: float) -> float:
    """pK of water: 14.00 at 25 degC, more when colder.

    Source:
        The data base that follows Plummer and Busenberg 1982 (H2O = OH- + H+).
    """
    t = _kelvin(temp_c)
    return 283.9710 + 0.05069842 * t - 13323.0 / t - 102.24447 * math.log10(t) + 1119669.0 / t**2


def _kelvin(temp_c: float) -> float:
    if not COLDEST_C <= temp_c <= WARMEST_C:
        raise OutOfRange(
            f"water of {temp_c:g} degC", f"the constants are used from {COLDEST_C:g} to {WARMEST_C:g} degC"
        )
    return temp_c + KELVIN


def charge(ph: float, pk: Sequence[float]) -> float:
    """Protons that an acid has given at a pH, on average for each molecule. [eq/mol]"""
    weights, power = [1.0], 0.0
    for one in pk:
        power += ph - one
        weights.append(10**power)
    return sum(given * weight for given, weight in enumerate(weights)) / sum(weights)


def alkalinity(buffers: Buffers, ph: float) -> float:
    """Acid that a water takes up until nothing of its bicarbonate is left. [meq/L]

    Source:
        Stumm W., Morgan J.J., Aquatic Chemistry, 3rd ed., 1996, ch. 4: Alk = CT (a1 + 2 a2) + OH - H; phosphate beside
        it counted from H2PO4.
    """
    _check(ph)
    free = 1000 * (10 ** (ph - pk_water(buffers.temp_c)) - 10**-ph)
    from_phosphate = buffers.phosphate * (charge(ph, PHOSPHATE_PK) - 1)
    return buffers.carbonate * charge(ph, pk_carbonate(buffers.temp_c)) + from_phosphate + free


def buffers_of(alkalinity_meq_l: float, ph: float, temp_c: float = 25.0, phosphate: float = 0.0) -> Buffers:
    """The buffers of a water with a measured alkalinity at its own pH.

    Args:
        alkalinity_meq_l: as titrated, 0 or more. [meq/L]
        ph: of the same water.
        temp_c: of the water. [degC]
        phosphate: dissolved in it, of every form. [mmol/L]

    Raises:
        OutOfRange: pH and temperature are outside the constants, or no carbonate could give that alkalinity at that pH.
    """
    rest = alkalinity_meq_l - alkalinity(Buffers(0.0, phosphate, temp_c), ph)
    carbonate = rest / charge(ph, pk_carbonate(temp_c))
    if carbonate < -1e-9:
        raise OutOfRange(
            f"alkalinity {alkalinity_meq_l:g} meq/L at pH {ph:g}", "one of the two cannot be; measure both again"
        )
    return Buffers(max(0.0, carbonate), phosphate, temp_c)


def acid_needed(buffers: Buffers, ph: float, want: float) -> float:
    """Acid that moves a water from one pH to another; below 0 it is base. [meq/L]"""
    return alkalinity(buffers, ph) - alkalinity(buffers, want)


def ph_where(water: Buffers, alkalinity_meq_l: float, given: Given = lambda _: 0.0) -> float:
    """The pH at which a water's alkalinity and what acids in it have given come to a figure.

    Args:
        water: what holds the pH.
        alkalinity_meq_l: of the water before anything was put in. [meq/L]
        given: protons that acids put in have given at a pH; they grow with the pH. [meq/L]

    Raises:
        OutOfRange: it would be below 3 or above 11.
    """
    low, high = LOWEST_PH, HIGHEST_PH
    if not alkalinity(water, low) + given(low) <= alkalinity_meq_l <= alkalinity(water, high) + given(high):
        raise OutOfRange(
            "too much acid or base for this water", f"the pH would leave {low:g} to {high:g}; check the amounts"
        )
    for _ in range(60):
        middle = (low + high) / 2
        too_high = alkalinity(water, middle) + given(middle) > alkalinity_meq_l
        low, high = (low, middle) if too_high else (middle, high)
    return (low + high) / 2


def _check(ph: float) -> None:
    if not LOWEST_PH <= ph <= HIGHEST_PH:
        raise OutOfRange(f"pH {ph:g}", f"water is reckoned from pH {LOWEST_PH:g} to {HIGHEST_PH:g}")
