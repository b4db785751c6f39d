"""Acids and a base as they come in the bottle, and how many millilitres move a water's pH.

The strength is an input, never a constant: bottles of one name differ threefold, and published tables disagree where
one assumed another's density (75 % phosphoric: 0.63 or 0.72 mL a ppm in 100 gallons). The label comes first, in small
steps.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

from core.dosing.carbonate import Buffers, acid_needed, alkalinity, charge, ph_where
from core.dosing.elements import molar_mass, molar_masses
from core.dosing.working import Step, Working
from core.errors import NotListed, OutOfRange

SOURCE = "Stumm W., Morgan J.J., Aquatic Chemistry, 3rd ed., 1996, ch. 4; pK of Plummer and Busenberg 1982"


@dataclass(frozen=True, slots=True, eq=False)
class Substance:
    """One row of acids.toml."""

    name: str
    formula: str
    nutrient: str
    pk: tuple[float, ...]
    base: bool
    examples: Mapping[float, float]
    source: str

    def equivalents(self, ph: float) -> float:
        """Protons a molecule has given once the water is at a pH; below 0 for a base, which takes them. [eq/mol]"""
        return -1.0 if self.base else charge(ph, self.pk)


@dataclass(frozen=True, slots=True)
class Bottle:
    """An acid or base as it is bought: how much of it is the substance, and how heavy it is. [% by mass, kg/L]"""

    substance: Substance
    percent: float
    density: float

    def __post_init__(self) -> None:
        if not 0 < self.percent <= 100 or not 0.9 <= self.density <= 2.0:
            raise OutOfRange(
                f"{self.percent:g} % at {self.density:g} kg/L",
                "read percent (0-100) and density (0.9-2.0) off the label",
            )

    @property
    def mol_l(self) -> float:
        """Moles of the substance in a litre of the bottle. [mol/L]"""
        return self.percent / 100 * self.density * 1000 / molar_mass(self.substance.formula)


@dataclass(frozen=True, slots=True)
class Dose:
    """Acid or base for a water: millilitres, what it adds of its nutrient, and the steps.

    `meq_l`: acid the water takes up, below 0 for base. `eq_mol`: protons each molecule gives at the pH wanted.
    """

    ml: float
    ml_per_100_l: float
    meq_l: float
    eq_mol: float
    adds_ppm: Mapping[str, float]
    working: Working


@lru_cache
def substances() -> dict[str, Substance]:
    """Every acid and base of acids.toml by its name."""
    text = resources.files(__package__).joinpath("acids.toml").read_text(encoding="utf-8")
    return {name: _substance(name, row) for name, row in tomllib.loads(text).items()}


def _substance(name: str, row: Mapping[str, object]) -> Substance:
    examples = {float(percent): float(density) for percent, density in dict(row["examples"]).items()}  # type: ignore[call-overload]
    pk = tuple(map(float, row["pk"]))  # type: ignore[call-overload]
    return Substance(
        name, str(row["formula"]), str(row["nutrient"]), pk, bool(row.get("base")), examples, str(row["source"])
    )


def bottle(name: str, percent: float, density: float | None = None) -> Bottle:
    """A bottle by what is in it; the density may be left out where acids.toml knows that strength.

    Raises:
        NotListed: there is no such acid, or no density is known for that strength of it.
        OutOfRange: percent or density cannot be.
    """
    found = substances().get(name)
    if found is None:
        raise NotListed("acid", name, list(substances()))
    if density is None and percent not in found.examples:
        raise NotListed(f"density of {name} at", f"{percent:g} %", [f"{one:g} %" for one in found.examples])
    return Bottle(found, percent, found.examples[percent] if density is None else density)


def dose(bottle: Bottle, water: Buffers, ph: float, want: float, volume_l: float) -> Dose:
    """What moves a water from one pH to another.

    Args:
        bottle: the acid, or the base to go up.
        water: what holds the pH. [mmol/L]
        ph: of the water now, 3 to 11.
        want: the pH wanted, 3 to 11.
        volume_l: of the water, above 0. [L]

    Raises:
        OutOfRange: the bottle moves the pH the other way, or a figure is outside the constants.

    Source:
        Charge balance of the closed carbonate system (Stumm and Morgan 1996, ch. 4), solved for the acid, which
        itself dissociates by its own pK at the pH wanted.
    """
    meq_l = acid_needed(water, ph, want)
    eq_mol = bottle.substance.equivalents(want)
    if meq_l * eq_mol < 0 or volume_l <= 0:
        raise OutOfRange(
            f"pH {ph:g} to {want:g} with {bottle.substance.name}", "take an acid to go down, a base to go up"
        )
    mmol_l = meq_l / eq_mol
    ml_l = mmol_l / bottle.mol_l
    pk_source = bottle.substance.source
    working = (
        Step("acid the water takes up", "Alk(now) - Alk(want)", {"now": ph, "want": want}, meq_l, "meq/L", SOURCE),
        Step("protons of a molecule", "by its pK at the pH wanted", {"want": want}, eq_mol, "eq/mol", pk_source),
        Step("strength of the bottle", "percent x density x 10 / molar mass",
             {"percent": bottle.percent, "density": bottle.density}, bottle.mol_l, "mol/L"),
        Step("for the volume", "meq/L / eq/mol / mol/L x volume",
             {"meq/L": meq_l, "eq/mol": eq_mol, "mol/L": bottle.mol_l, "volume": volume_l}, ml_l * volume_l, "mL"),
    )  # fmt: skip
    return Dose(ml_l * volume_l, ml_l * 100, meq_l, eq_mol, nutrient_ppm(bottle, ml_l), working)


def nutrient_ppm(bottle: Bottle, ml_l: float) -> dict[str, float]:
    """What so much of a bottle adds to a litre. [mL/L in, mg/L out]"""
    element = bottle.substance.nutrient
    if not element:
        return {}
    symbol = element.partition("_")[0]
    return {element: ml_l * bottle.mol_l * molar_masses()[symbol]}


def ph_after(water: Buffers, ph: float, added: Mapping[Bottle, float]) -> float:
    """The pH of a water after acids and bases were put in, whatever their order.

    Args:
        water: what holds the pH.
        ph: of the water before.
        added: of each bottle. [mL/L]

    Raises:
        OutOfRange: it would be below 3 or above 11.
    """

    def given(at: float) -> float:
        """What all that was added gives off at a pH. [meq/L]"""
        return sum(one.mol_l * ml_l * one.substance.equivalents(at) for one, ml_l in added.items())

    return ph_where(water, alkalinity(water, ph), given)
