"""A tank brought to a wanted strength: nutrients in, water in, part of it drained first; and how long a bottle lasts.

EC is reckoned to mix by volume, as the trade does. Solutions of one recipe between 0.5 and 3 mS/cm keep to that within
a twentieth; the rest is found by measuring again after a first half.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from core.dosing.working import Step, Working
from core.errors import OutOfRange

RULE = "Mixing by volume: V1 EC1 + V2 EC2 = (V1 + V2) EC. Common practice, no source."


@dataclass(frozen=True, slots=True)
class Feed:
    """How strong the nutrients are: so much of A and of B in a litre of water raise its EC by so much. [mL/L, mS/cm]"""

    a_ml_l: float
    b_ml_l: float
    raises_ms_cm: float

    def __post_init__(self) -> None:
        if min(self.a_ml_l, self.b_ml_l) < 0 or self.a_ml_l + self.b_ml_l <= 0 or self.raises_ms_cm <= 0:
            raise OutOfRange(
                "the strength of the nutrients", "give mL of A and B in a litre, and the EC they raise it by"
            )

    @property
    def in_a_litre(self) -> float:
        """Litres of both together in a litre of water. [L/L]"""
        return (self.a_ml_l + self.b_ml_l) / 1000

    @property
    def own_ms_cm(self) -> float:
        """The EC that A and B would have together, as far as mixing goes. [mS/cm]"""
        return self.raises_ms_cm * (1 + self.in_a_litre) / self.in_a_litre


@dataclass(frozen=True, slots=True)
class Adjustment:
    """What is done to a tank: drained, then water and nutrients in, and what it comes to. [L, mL, mS/cm]"""

    drain_l: float
    water_l: float
    a_ml: float
    b_ml: float
    volume_l: float
    ec_ms_cm: float
    working: Working


def raise_ec(volume_l: float, now: float, want: float, feed: Feed) -> Adjustment:
    """Nutrients that bring a tank up to a wanted EC.

    Args:
        volume_l: in the tank now, above 0. [L]
        now: its EC. [mS/cm]
        want: the EC wanted, at least what it is. [mS/cm]
        feed: the strength of the nutrients.

    Raises:
        OutOfRange: the EC wanted is lower than now, or higher than the nutrients themselves.
    """
    if volume_l <= 0 or not now <= want < feed.own_ms_cm:
        raise OutOfRange(f"EC {now:g} to {want:g}", "nutrients raise the EC, up to their own")
    litres = volume_l * (want - now) / (feed.own_ms_cm - want)
    return _poured(feed, litres, 0.0, 0.0, volume_l + litres, want, (_strength(feed), _nutrients(
        "V x (want - now) / (own - want)", {"V": volume_l, "now": now, "want": want, "own": feed.own_ms_cm}, litres
    )))  # fmt: skip


def lower_ec(volume_l: float, capacity_l: float, now: float, want: float, water: float = 0.0) -> Adjustment:
    """Water that brings a tank down to a wanted EC; where it would run over, part of the solution is drained first.

    Args:
        volume_l: in the tank now. [L]
        capacity_l: what the tank holds. [L]
        now: its EC. [mS/cm]
        want: the EC wanted, at most what it is. [mS/cm]
        water: the EC of the water that goes in, below the one wanted. [mS/cm]

    Raises:
        OutOfRange: the EC wanted is not between that of the water and that of the tank, or the volumes cannot be.
    """
    if not 0 < volume_l <= capacity_l or not water < want <= now:
        raise OutOfRange(f"EC {now:g} to {want:g}", f"water of {water:g} lowers the EC, to no less than its own")
    numbers = {"V": volume_l, "C": capacity_l, "now": now, "want": want, "water": water}
    needed = volume_l * (now - want) / (want - water)
    if volume_l + needed <= capacity_l:
        step = Step("water to add", "V x (now - want) / (want - water)", numbers, needed, "L", RULE)
        return Adjustment(0.0, needed, 0.0, 0.0, volume_l + needed, want, (step,))
    kept = capacity_l * (want - water) / (now - water)
    drain = Step("solution to drain", "V - C x (want - water) / (now - water)", numbers, volume_l - kept, "L", RULE)
    fill = Step("water to fill up with", "C - what is kept", {"C": capacity_l, "kept": kept}, capacity_l - kept, "L")
    return Adjustment(volume_l - kept, capacity_l - kept, 0.0, 0.0, capacity_l, want, (drain, fill))


def top_up(volume_l: float, capacity_l: float, now: float, want: float, feed: Feed, water: float = 0.0) -> Adjustment:
    """Water and nutrients that fill a part-empty tank to a wanted EC.

    Args:
        volume_l: in the tank now, 0 for an empty one. [L]
        capacity_l: what it is filled to. [L]
        now: its EC. [mS/cm]
        want: the EC wanted. [mS/cm]
        feed: the strength of the nutrients.
        water: the EC of the water that goes in. [mS/cm]

    Returns:
        The filling. Where the tank stays above the EC wanted even on water alone, no nutrients, and the EC it comes to.

    Raises:
        OutOfRange: the volumes cannot be, or the EC wanted is below the water's own or above the nutrients'.
    """
    if not 0 <= volume_l <= capacity_l or capacity_l <= 0 or not water <= want < feed.own_ms_cm:
        raise OutOfRange(f"{volume_l:g} of {capacity_l:g} L to EC {want:g}", "check level, tank and the EC wanted")
    room = capacity_l - volume_l
    on_water = (volume_l * now + room * water) / capacity_l
    litres = min(room, max(0.0, capacity_l * (want - on_water) / (feed.own_ms_cm - water)))
    reached = on_water + litres * (feed.own_ms_cm - water) / capacity_l
    numbers = {"C": capacity_l, "want": want, "on water": on_water, "own": feed.own_ms_cm, "water": water}
    steps = (
        Step("EC on water alone", "(V x now + (C - V) x water) / C",
             {"V": volume_l, "C": capacity_l, "now": now, "water": water}, on_water, "mS/cm", RULE),
        _strength(feed),
        _nutrients("C x (want - on water) / (own - water)", numbers, litres),
    )  # fmt: skip
    return _poured(feed, litres, 0.0, room - litres, capacity_l, reached, steps)


def _strength(feed: Feed) -> Step:
    numbers = {"rise": feed.raises_ms_cm, "s": feed.in_a_litre}
    return Step("EC of the nutrients themselves", "rise x (1 + s) / s", numbers, feed.own_ms_cm, "mS/cm", RULE)


def _nutrients(formula: str, numbers: dict[str, float], litres: float) -> Step:
    return Step("nutrients A and B together", formula, numbers, litres * 1000, "mL", RULE)


def _poured(
    feed: Feed, litres: float, drain: float, water: float, volume: float, ec: float, steps: Working
) -> Adjustment:
    """Litres of nutrients parted into A and B as the feed has them."""
    both = feed.a_ml_l + feed.b_ml_l
    a, b = litres * 1000 * feed.a_ml_l / both, litres * 1000 * feed.b_ml_l / both
    return Adjustment(drain, water, a, b, volume, ec, steps)


SHORTEST_USE_DAYS = 3
"""Less than this of use says nothing of how long a bottle lasts. Common practice, no source."""


def days_left(left_ml: float, used: Sequence[tuple[datetime, float]], now: datetime) -> float | None:
    """How many days a bottle lasts at the rate it was used.

    Args:
        left_ml: in the bottle. [mL]
        used: when and how much of it was put in, the oldest first. [mL]
        now: the moment from which it is reckoned.

    Returns:
        Days, 0 for an empty bottle; None where too little use is known. [d]
    """
    if not used or left_ml <= 0:
        return 0.0 if left_ml <= 0 else None
    days = (now - used[0][0]).total_seconds() / 86400
    if days < SHORTEST_USE_DAYS:
        return None
    return left_ml / (sum(amount for _, amount in used) / days)
