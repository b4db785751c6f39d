"""Water with something dissolved in it: poured together, thinned, taken from. What goes in is what is there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from core.dosing.materials import Ppm
from core.errors import OutOfRange


@dataclass(frozen=True, slots=True)
class Solution:
    """So many litres with so many milligrams of each element in them. Volumes are taken to add up."""

    volume_l: float
    mg: Mapping[str, float] = field(default_factory=dict)

    @classmethod
    def of(cls, volume_l: float, ppm: Ppm) -> Solution:
        """Litres of a known analysis. [L, mg/L]"""
        return cls(volume_l, {element: value * volume_l for element, value in ppm.items()})

    @property
    def ppm(self) -> dict[str, float]:
        """What is in a litre. [mg/L]

        Raises:
            OutOfRange: there is no water.
        """
        if self.volume_l <= 0:
            raise OutOfRange("a solution without water", "give a volume above 0 L")
        return {element: value / self.volume_l for element, value in self.mg.items()}

    def __add__(self, other: Solution) -> Solution:
        elements = {*self.mg, *other.mg}
        together = {one: self.mg.get(one, 0.0) + other.mg.get(one, 0.0) for one in elements}
        return Solution(self.volume_l + other.volume_l, together)

    def with_grams(self, holds: Mapping[str, float], grams: float) -> Solution:
        """The same water after a solid was dissolved in it: `holds` grams of each element in a gram."""
        return self + Solution(0.0, {element: share * grams * 1000 for element, share in holds.items()})

    def thinned_to(self, volume_l: float) -> Solution:
        """The same matter in more water. [L]

        Raises:
            OutOfRange: that is less than there is.
        """
        if volume_l < self.volume_l:
            raise OutOfRange(f"{volume_l:g} L is less than {self.volume_l:g} L", "water is added, not taken")
        return Solution(volume_l, self.mg)

    def part(self, volume_l: float) -> Solution:
        """So many litres of it. [L]

        Raises:
            OutOfRange: there is not so much.
        """
        if not 0 <= volume_l <= self.volume_l:
            raise OutOfRange(f"{volume_l:g} L of {self.volume_l:g} L", "take no more than there is")
        return Solution.of(volume_l, self.ppm)


def lacking(target: Ppm, water: Ppm) -> dict[str, float]:
    """What fertilisers still have to bring once the water's own analysis is subtracted; never below 0. [mg/L]"""
    return {element: max(0.0, wanted - water.get(element, 0.0)) for element, wanted in target.items()}
