"""What is said of plants, from seed to plate: picked, lost, sown, come up, moved, cleaned after, given."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar

from core.notes.note import Note

LOSS_REASONS = ("pest", "disease", "wilt", "bolted", "damping_off", "tipburn", "broken", "dry", "other")
CLEANABLE = ("towers", "trays", "tank", "floor", "filter", "tools")


@dataclass(frozen=True, slots=True, kw_only=True)
class Harvest(Note):
    """Something was picked: `count` heads or bunches and/or `weight_g`; `culled` were thrown out while picking."""

    act: ClassVar[str] = "harvest"
    crop: str | None = None
    count: float | None = None
    weight_g: float | None = None
    places: tuple[str, ...] = ()
    culled: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss(Note):
    """Plants lost or thrown out outside a harvest. `reason` is one of LOSS_REASONS."""

    act: ClassVar[str] = "loss"
    crop: str | None = None
    count: float | None = None
    reason: str | None = None
    places: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sow(Note):
    """Seeds were sown: `count` plugs, or whole `trays`; `packet` is the lot on the seed packet."""

    act: ClassVar[str] = "sow"
    crop: str | None = None
    count: float | None = None
    trays: float | None = None
    packet: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand(Note):
    """A germination count: `up` came up `of` so many sown."""

    act: ClassVar[str] = "stand"
    crop: str | None = None
    up: float | None = None
    of: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Move(Note):
    """Plants moved up a stage; into towers it is transplanting. In the record the slots are called `from` and `to`."""

    act: ClassVar[str] = "move"
    crop: str | None = None
    count: float | None = None
    trays: float | None = None
    origin: tuple[str, ...] = field(default=(), metadata={"key": "from"})
    to: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DescribeCrop(Note):
    """A crop the farm grows from now on, or grows otherwise: `name`, the `crop` it is like, and what differs from that.

    Without `new` the crop named is one of the farm's and only its figures change.
    """

    act: ClassVar[str] = "crop"
    name: str | None = None
    crop: str | None = None
    new: bool | None = None
    cover_days: int | None = None
    shelf_days: int | None = None
    tower_days: int | None = None
    regrow_days: int | None = None
    cuts: int | None = None
    mass_g: float | None = None
    germination: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceUse(Note):
    """Places are out of use (`out`), or can be used again."""

    act: ClassVar[str] = "use"
    places: tuple[str, ...] = ()
    out: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Clean(Note):
    """Cleaned: towers by code or number, trays, tank, floor, filter or tools (`what`, one of CLEANABLE)."""

    act: ClassVar[str] = "clean"
    places: tuple[str, ...] = ()
    count: float | None = None
    what: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Gave(Note):
    """Produce handed over to a recipient."""

    act: ClassVar[str] = "gave"
    to: str | None = None
    crop: str | None = None
    count: float | None = None
    weight_g: float | None = None
