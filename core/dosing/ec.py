"""How well a solution of known analysis conducts, and how far a recipe is thinned to conduct so much."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

from core.dosing.materials import Ppm
from core.errors import OutOfRange

ERROR = 0.08
"""Share by which a reckoned EC may be off; the recipes here lie within it of the rule of Sonneveld and Voogt."""

PAIRS = {"Ca": 2.36, "Mg": 2.37}
"""Log of how readily a cation goes with sulphate to a pair that carries nothing. [L/mol]
source: Stumm W., Morgan J.J., Aquatic Chemistry, 3rd ed., 1996, appendix; from memory, as in the usual data bases."""

STRONGEST_MS_CM = 10.0
"""Beyond this the formula is not used: no plant stands it, and stocks conduct otherwise."""


@dataclass(frozen=True, slots=True)
class Ion:
    """One row of ions.toml."""

    charge: int
    element: str
    mass: float
    l0: tuple[float, float, float]
    a: tuple[float, float, float]
    b: float


@lru_cache
def ions() -> dict[str, Ion]:
    """The ions that carry the current of a nutrient solution."""
    text = resources.files(__package__).joinpath("ions.toml").read_text(encoding="utf-8")
    rows = tomllib.loads(text)
    return {name: Ion(**row | {"l0": tuple(row["l0"]), "a": tuple(row["a"])}) for name, row in rows.items()}


def millimoles(ppm: Ppm) -> dict[str, float]:
    """The ions of an analysis; nitrogen without a form counts as nitrate. [mmol/L]

    Bicarbonate is what the charges lack, where the analysis has none of its own: water always balances.
    """
    given = {**ppm, "N_NO3": ppm.get("N_NO3", 0.0) + ppm.get("N", 0.0)}
    found = {name: given.get(ion.element, 0.0) / ion.mass for name, ion in ions().items()}
    if "HCO3" not in ppm:
        found["HCO3"] = max(0.0, sum(ions()[name].charge * amount for name, amount in found.items()))
    return found


def ec_of(ppm: Ppm, temp_c: float = 25.0) -> float:
    """The conductivity of a dilute solution, from its ions.

    Args:
        ppm: the analysis; micronutrients add too little to count. [mg/L]
        temp_c: of the solution, 0 to 95. [degC]

    Returns:
        EC at that temperature, good to about `ERROR`. [mS/cm]

    Raises:
        OutOfRange: the temperature is outside the formula.

    Source:
        McCleskey R.B. et al., Geochimica et Cosmochimica Acta 77, 2012; of its ion pairs only the sulphates.
    """
    if not 0 <= temp_c <= 95:
        raise OutOfRange(f"{temp_c:g} degC", "the formula holds from 0 to 95 degC")
    amounts = free_of_pairs(millimoles(ppm))
    strength = _strength(amounts)
    return sum(_molar(ions()[name], temp_c, strength) * amount for name, amount in amounts.items()) / 1000


def free_of_pairs(amounts: Mapping[str, float]) -> dict[str, float]:
    """The ions that still carry once calcium and magnesium have paired with sulphate. [mmol/L]

    Found by turns: the sulphate left over decides the pairs, the pairs what is left over. Activities after Davies, as
    in Stumm and Morgan 1996, ch. 3.
    """
    free = dict(amounts)
    for _ in range(30):
        root = math.sqrt(_strength(free))
        shrink = 10 ** (-2 * 0.509 * 4 * (root / (1 + root) - 0.3 * root**2))
        pull = {name: 10**power * shrink / 1000 for name, power in PAIRS.items()}
        held = {name: amounts[name] * pull[name] * free["SO4"] / (1 + pull[name] * free["SO4"]) for name in PAIRS}
        free |= {name: amounts[name] - held[name] for name in PAIRS}
        free["SO4"] = amounts["SO4"] / (1 + sum(pull[name] * free[name] for name in PAIRS))
    return free


def _strength(amounts: Mapping[str, float]) -> float:
    """Ionic strength. [mol/L]"""
    return sum(amount * ions()[name].charge ** 2 for name, amount in amounts.items()) / 2000


def _molar(ion: Ion, temp_c: float, strength: float) -> float:
    """Molar conductivity of an ion. [mS cm2/mmol, which is S cm2/mol]"""
    powers = (temp_c**2, temp_c, 1.0)
    free = sum(factor * power for factor, power in zip(ion.l0, powers, strict=True))
    held = sum(factor * power for factor, power in zip(ion.a, powers, strict=True))
    root = math.sqrt(strength)
    return free - held * root / (1 + ion.b * root)


def by_cations(ppm: Ppm) -> float:
    """The conductivity by the greenhouse trade's rule of thumb: 0.095 for each meq/L of cations, and 0.19. [mS/cm]

    Source:
        Sonneveld C., Voogt W., Plant Nutrition of Greenhouse Crops, Springer, 2009; coefficients from memory.
    """
    charges = [ions()[name].charge * amount for name, amount in millimoles(ppm).items()]
    return 0.095 * sum(one for one in charges if one > 0) + 0.19


def strength_for(recipe: Ppm, water: Ppm, want_ms_cm: float) -> float:
    """How strong a recipe must be for a wanted EC, on top of the water it is mixed in.

    Args:
        recipe: the analysis at full strength. [mg/L]
        water: the water's own analysis. [mg/L]
        want_ms_cm: the EC wanted at 25 degC, up to 10. [mS/cm]

    Returns:
        The share of the full recipe: 0.5 is half strength. 0 where the water conducts as much by itself.

    Raises:
        OutOfRange: the EC wanted is outside 0 to 10, or no strength of the recipe reaches it.
    """
    if not 0 <= want_ms_cm <= STRONGEST_MS_CM:
        raise OutOfRange(f"an EC of {want_ms_cm:g}", f"0 to {STRONGEST_MS_CM:g} mS/cm is what can be reckoned")
    low, high = 0.0, 16.0
    if ec_of(mixed(recipe, water, high)) < want_ms_cm:
        raise OutOfRange(f"an EC of {want_ms_cm:g}", "the recipe holds too little to reach it")
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (low, middle) if ec_of(mixed(recipe, water, middle)) > want_ms_cm else (middle, high)
    return low


def mixed(recipe: Ppm, water: Ppm, strength: float) -> Mapping[str, float]:
    """A recipe at a strength, in a water: the sum of the two. [mg/L]"""
    return {one: strength * recipe.get(one, 0.0) + water.get(one, 0.0) for one in {*recipe, *water}}


def at_25(ec_ms_cm: float, temp_c: float) -> float:
    """A reading without temperature compensation as it would be at 25 degC. [mS/cm]

    Source:
        EC25 = EC/(1 + a (t - 25)), a = 1.91 %/degC: Van Essen CTD-Diver manual, 2022, p. 5.
    """
    return ec_ms_cm / (1 + 0.0191 * (temp_c - 25))
