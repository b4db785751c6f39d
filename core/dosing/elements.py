"""Formulas to masses: what a mole of a salt weighs, and how much of it is each element."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Mapping
from functools import lru_cache
from importlib import resources

from core.errors import NotListed

_PART = re.compile(r"([A-Z][a-z]?)(\d*)|(\()|\)(\d*)")
HYDRATE = "·"


@lru_cache
def molar_masses() -> dict[str, float]:
    """Grams in a mole of each element. [g/mol]"""
    text = resources.files(__package__).joinpath("elements.toml").read_text(encoding="utf-8")
    return {symbol: float(mass) for symbol, mass in tomllib.loads(text).items()}


@lru_cache
def atoms(formula: str) -> Mapping[str, int]:
    """How many atoms of each element a formula holds: "Ca(NO3)2·4H2O" has one Ca, two N, ten O, eight H.

    Raises:
        NotListed: an element of the formula has no molar mass here.
    """
    total: Counter[str] = Counter()
    for part in formula.split(HYDRATE):
        count = re.match(r"\d*", part)
        times = int(count[0] or 1) if count else 1
        for symbol, number in _group(part.lstrip("0123456789")).items():
            total[symbol] += times * number
    unknown = [symbol for symbol in total if symbol not in molar_masses()]
    if unknown or not total:
        raise NotListed("element", unknown[0] if unknown else formula, list(molar_masses()))
    return dict(total)


def _group(part: str) -> Counter[str]:
    """The atoms of a formula without a hydrate's dot, brackets worked off from the inside."""
    layers: list[Counter[str]] = [Counter()]
    for found in _PART.finditer(part):
        symbol, number, opens, closed = found.groups()
        if opens:
            layers.append(Counter())
        elif symbol:
            layers[-1][symbol] += int(number or 1)
        elif len(layers) > 1:
            for inner, count in layers.pop().items():
                layers[-1][inner] += count * int(closed or 1)
    return layers[0]


def molar_mass(formula: str) -> float:
    """What a mole weighs. [g/mol]

    Raises:
        NotListed: an element of the formula has no molar mass here.
    """
    return sum(molar_masses()[symbol] * count for symbol, count in atoms(formula).items())


def fraction(formula: str, symbol: str) -> float:
    """Grams of an element in a gram of a compound: `fraction("P2O5", "P")` is 0.4364.

    Raises:
        NotListed: an element has no molar mass here.
    """
    if symbol not in molar_masses():
        raise NotListed("element", symbol, list(molar_masses()))
    return molar_masses()[symbol] * atoms(formula).get(symbol, 0) / molar_mass(formula)
