"""The life of a batch in figures: plugs sown are plants standing, picked or lost, at all times."""

from __future__ import annotations

from dataclasses import dataclass

PICKED = ("cut", "spent")
"""Why plants left that gave what they were sown for; the other reasons are losses."""


@dataclass(frozen=True, slots=True)
class Account:
    """Where the plants of a batch came to: `sown` plugs, `standing`, `picked` (or cleared when spent) and `lost`."""

    code: str
    crop: str
    sown: int
    standing: int
    picked: int
    lost: int

    @property
    def balanced(self) -> bool:
        """Whether every plug is accounted for."""
        return self.sown == self.standing + self.picked + self.lost


def account(code: str, crop: str, sown: int, standing: int, gone: dict[str, int]) -> Account:
    """The account of a batch from its plants standing and those gone, by why they went."""
    picked = sum(count for why, count in gone.items() if why in PICKED)
    return Account(code, crop, sown, standing, picked, sum(gone.values()) - picked)
