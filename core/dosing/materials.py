"""Fertilisers by what is in them: salts by formula, bagged ones by their label, all as grams of element in a gram.

Nitrogen is kept apart by form ("N_NO3", "N_NH4"), for it decides the charge; "N" is what no form was given for.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any

from core.dosing.elements import fraction, molar_mass, molar_masses
from core.errors import NotListed, OutOfRange

Ppm = Mapping[str, float]
"""Milligrams in a litre of each element, by symbol; nitrogen by form."""

NITROGEN = ("N", "N_NO3", "N_NH4")
OXIDES = {"P2O5": "P", "K2O": "K"}
"""What a label gives as oxide, and the element it stands for."""


@dataclass(frozen=True, slots=True, eq=False)
class Material:
    """Something weighed into a stock: grams of each element in a gram; `soluble_g_l` is None where it is not known."""

    name: str
    holds: Mapping[str, float]
    soluble_g_l: float | None
    source: str


@lru_cache
def materials() -> dict[str, Material]:
    """Every fertiliser of fertilisers.toml by its name."""
    text = resources.files(__package__).joinpath("fertilisers.toml").read_text(encoding="utf-8")
    return {name: _material(name, row) for name, row in tomllib.loads(text).items()}


def material(name: str) -> Material:
    """One fertiliser.

    Raises:
        NotListed: there is none of that name.
    """
    found = materials().get(name)
    if found is None:
        raise NotListed("fertiliser", name, list(materials()))
    return found


def _material(name: str, row: Mapping[str, Any]) -> Material:
    if "percent" in row:
        holds = {element: share / 100 for element, share in row["percent"].items()}
    else:
        holds = _by_formula(row["formula"], row.get("ammonium", 0))
    return Material(name, holds, row["soluble_g_l"], row["source"])


def _by_formula(formula: str, ammonium: int) -> dict[str, float]:
    holds = {symbol: fraction(formula, symbol) for symbol in molar_masses() if symbol not in ("H", "C", "O")}
    in_ammonium = ammonium * molar_masses()["N"] / molar_mass(formula)
    holds |= {"N_NH4": in_ammonium, "N_NO3": holds.pop("N") - in_ammonium}
    return {element: share for element, share in holds.items() if share > 1e-12}


def label(n: float, p2o5: float, k2o: float, **others: float) -> Material:
    """A bag or bottle by its label.

    Args:
        n: nitrogen. Where the label splits it, give 0 here and N_NO3 and N_NH4 among the others. [% by mass]
        p2o5: available phosphate, as the oxide that labels print. [% by mass]
        k2o: soluble potash, as the oxide that labels print. [% by mass]
        others: further elements by symbol (Ca, Mg, S, Fe, N_NO3 ...). [% by mass]

    Raises:
        NotListed: one of the others is no element of a fertiliser.
        OutOfRange: a share is negative, or all together are more than the whole.
    """
    valid = [*molar_masses(), *NITROGEN]
    unknown = [name for name in others if name not in valid]
    if unknown:
        raise NotListed("element", unknown[0], valid)
    shares = {"N": n, "P2O5": p2o5, "K2O": k2o, **others}
    if min(shares.values()) < 0 or sum(shares.values()) > 100:
        raise OutOfRange(f"label {n:g}-{p2o5:g}-{k2o:g}", "each share is 0 % or more, all together at most 100 %")
    holds = {OXIDES.get(name, name): share / 100 * _element_in(name) for name, share in shares.items() if share}
    return Material(f"{n:g}-{p2o5:g}-{k2o:g}", holds, None, "The label.")


def _element_in(name: str) -> float:
    return fraction(name, OXIDES[name]) if name in OXIDES else 1.0


def nitrogen(ppm: Ppm) -> float:
    """Nitrogen of every form together, in the unit of what is given."""
    return sum(ppm.get(form, 0.0) for form in NITROGEN)


def ppm_of(weighed: Mapping[Material, float]) -> dict[str, float]:
    """What materials dissolved in water come to.

    Args:
        weighed: milligrams of each in a litre. [mg/L]

    Returns:
        Each element. [mg/L = ppm]
    """
    total: dict[str, float] = {}
    for one, mg_l in weighed.items():
        for element, share in one.holds.items():
            total[element] = total.get(element, 0.0) + share * mg_l
    return total


def grams_for(one: Material, element: str, ppm: float, volume_l: float) -> float:
    """How much of a material gives so much of an element.

    Args:
        one: the material.
        element: a symbol, "N" for nitrogen of every form.
        ppm: wanted, 0 or more. [mg/L]
        volume_l: of the finished solution. [L]

    Returns:
        What to weigh. [g]

    Raises:
        OutOfRange: the material holds none of the element.

    Source:
        Mattson N., Fertilizer Calculation Basics for Hydroponics, e-GRO Edible Alert 3.05, 2018: ppm / fraction = mg/L.
    """
    share = nitrogen(one.holds) if element == "N" else one.holds.get(element, 0.0)
    if share <= 0:
        raise OutOfRange(f"{one.name} holds no {element}", f"it holds {', '.join(one.holds)}")
    return ppm / share * volume_l / 1000
