"""Stocks: how strong they are mixed for an injector, and what may never stand in one together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from core.dosing.materials import Material
from core.errors import OutOfRange

FaultKind = Literal["calcium_with_sulphate", "calcium_with_phosphate", "too_strong"]


@dataclass(frozen=True, slots=True)
class Fault:
    """Why a stock must not be mixed so: two materials that do not bear each other, or one that will not dissolve."""

    kind: FaultKind
    materials: tuple[str, ...]
    grams_l: float | None = None
    most_g_l: float | None = None


class UnmixableStock(OutOfRange):
    """A stock would drop flakes or sludge; `faults` names every reason."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        named = "; ".join(f"{one.kind}: {' + '.join(one.materials)}" for one in faults)
        super().__init__(named, "keep calcium in a stock of its own, and weigh no more than dissolves")
        self.faults = faults


def stock_of(weighed: Mapping[Material, float], ratio: float) -> dict[Material, float]:
    """What to weigh into each litre of a stock for an injector.

    Args:
        weighed: what a litre of finished solution shall hold. [mg/L]
        ratio: litres of finished solution that a litre of stock makes: 100 for an injector of 1:100. [-]

    Returns:
        Each material. [g in a litre of stock]

    Raises:
        OutOfRange: the ratio is below 1.
        UnmixableStock: the materials may not stand together in a stock, or will not dissolve.

    Source:
        Texas A&M horticulture IPM guide, Nutrition and Fertility, practical example II: finished amount x ratio.
    """
    if ratio < 1:
        raise OutOfRange(f"an injector of 1:{ratio:g}", "give how many litres a litre of stock makes, 1 or more")
    grams = {one: mg_l * ratio / 1000 for one, mg_l in weighed.items() if mg_l > 0}
    faults = faults_of(grams)
    if faults:
        raise UnmixableStock(faults)
    return grams


def faults_of(grams_l: Mapping[Material, float]) -> tuple[Fault, ...]:
    """Everything that is wrong with a stock. [g/L of each material]

    Source:
        Mattson N.S., Peters C., A Recipe for Hydroponic Success, Inside Grower 2014, as relayed by H. Borgmann: calcium
        nitrate concentrate never with sulphates or phosphates, for gypsum or calcium phosphate drops out.
    """
    return (*_clashes(grams_l), *_undissolved(grams_l))


def _clashes(grams_l: Mapping[Material, float]) -> tuple[Fault, ...]:
    calcium = [one for one in grams_l if one.holds.get("Ca")]
    kinds: tuple[tuple[str, FaultKind], ...] = (("S", "calcium_with_sulphate"), ("P", "calcium_with_phosphate"))
    return tuple(
        Fault(kind, (lime.name, other.name))
        for lime in calcium
        for element, kind in kinds
        for other in grams_l
        if other.holds.get(element)
    )


def _undissolved(grams_l: Mapping[Material, float]) -> tuple[Fault, ...]:
    return tuple(
        Fault("too_strong", (one.name,), grams, one.soluble_g_l)
        for one, grams in grams_l.items()
        if one.soluble_g_l is not None and grams > one.soluble_g_l
    )


def two_parts(weighed: Mapping[Material, float]) -> tuple[dict[Material, float], dict[Material, float]]:
    """The materials of a recipe sorted into part A (what may stand with calcium) and part B (sulphates, phosphates).

    Nitrates without calcium, chelates and the like go to A, as recipes usually print them.
    """
    part_b = {one: amount for one, amount in weighed.items() if one.holds.get("S") or one.holds.get("P")}
    return {one: amount for one, amount in weighed.items() if one not in part_b}, part_b


def dose_ml(volume_l: float, ratio: float) -> float:
    """Stock for a batch of finished solution. [mL of each part]

    Raises:
        OutOfRange: the ratio is below 1.
    """
    if ratio < 1:
        raise OutOfRange(f"an injector of 1:{ratio:g}", "give how many litres a litre of stock makes, 1 or more")
    return volume_l / ratio * 1000
