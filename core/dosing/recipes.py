"""Published nutrient solutions, and the weights of fertilisers that come nearest to a wanted analysis."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any

from core.dosing.materials import Material, Ppm, material, nitrogen, ppm_of
from core.errors import NotListed
from core.planning.solver import Silent


@dataclass(frozen=True, slots=True)
class Recipe:
    """A finished solution: milligrams of each material in a litre, and the analysis its source prints. [mg/L]"""

    name: str
    weighed: Mapping[Material, float]
    printed: Ppm
    source: str

    @property
    def ppm(self) -> dict[str, float]:
        """What the weights come to. [mg/L]"""
        return ppm_of(self.weighed)


@lru_cache
def recipes() -> dict[str, Recipe]:
    """Every recipe of recipes.toml by its name."""
    text = resources.files(__package__).joinpath("recipes.toml").read_text(encoding="utf-8")
    return {name: _recipe(name, row) for name, row in tomllib.loads(text).items()}


def recipe(name: str) -> Recipe:
    """One recipe.

    Raises:
        NotListed: there is none of that name.
    """
    found = recipes().get(name)
    if found is None:
        raise NotListed("recipe", name, list(recipes()))
    return found


def _recipe(name: str, row: Mapping[str, Any]) -> Recipe:
    weighed = {material(one): float(mg_l) for one, mg_l in row["mg_l"].items()}
    return Recipe(name, weighed, row["ppm"], row["source"])


def weights_for(target: Ppm, choice: Sequence[Material]) -> dict[Material, float]:
    """The weights of fertilisers that come nearest to a wanted analysis.

    A linear program: each weight 0 or more; the sum of the deviations of each element, each as a share of what is
    wanted of it, is least. "N" is nitrogen of every form.

    Args:
        target: wanted of each element, above 0; what is not named may be anything. [mg/L]
        choice: the materials at hand.

    Returns:
        What to weigh for a litre of finished solution; none of it negative. [mg/L]
    """
    model: Any = Silent()  # type: ignore[no-untyped-call]
    model.setOptionValue("output_flag", False)
    model.setOptionValue("threads", 1)  # HiGHS has one pool a process; the planner's solver has it at one
    weights = [model.addVariable(lb=0.0) for _ in choice]
    off = []
    for element, wanted in target.items():
        over, under = model.addVariable(lb=0.0), model.addVariable(lb=0.0)
        given = sum((_share(one, element) * weight for one, weight in zip(choice, weights, strict=True)), start=0.0)
        model.addConstr(given - over + under == wanted)
        off.append((over + under) * (1 / wanted))
    model.minimize(sum(off[1:], start=off[0]))
    return {one: max(0.0, float(model.val(weight))) for one, weight in zip(choice, weights, strict=True)}


def _share(one: Material, element: str) -> float:
    return nitrogen(one.holds) if element == "N" else one.holds.get(element, 0.0)
