"""From seed to plate: batches, where their plants stand, counts, losses, cuts, cleaning and deliveries."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import ForeignKeyConstraint, Index
from sqlmodel import SQLModel

from core.books.tables.columns import farm_key, instant, json_value, key


class Batch(SQLModel, table=True):
    """Plugs of one crop sown together. `code` is the crop's slug, the day sown and a letter: "kale-261104a".

    `packet` is the lot on the seed packet, as it was said; None where nobody said it. Batches are split over places and
    never merged: plugs sown = plants that stand + plants gone, at all times.
    """

    farm_id: int = farm_key()
    code: str = key()
    crop: str
    sown_on: date
    plugs: int
    packet: str | None = None


class Standing(SQLModel, table=True):
    """So many plants of a batch stand in a place since a day; `cuts` of them taken so far, the last on `last_cut`."""

    __table_args__ = (
        ForeignKeyConstraint(["farm_id", "batch"], ["batch.farm_id", "batch.code"]),
        ForeignKeyConstraint(["farm_id", "place"], ["place.farm_id", "place.code"]),
        Index("ix_standing_place", "farm_id", "place"),
    )

    farm_id: int = farm_key()
    batch: str = key()
    place: str = key()
    plants: int = 0
    since: date | None = None
    cuts: int = 0
    last_cut: date | None = None


class Gone(SQLModel, table=True):
    """Plants of a batch that left a place for good, and why.

    `why`: "cut" (picked), "spent" (cleared after the last cut), "gap" (missing at the cut), "not_up" (did not come up),
    or "lost".
    """

    __table_args__ = (
        ForeignKeyConstraint(["farm_id", "batch"], ["batch.farm_id", "batch.code"]),
        Index("ix_gone_batch", "farm_id", "batch"),
    )

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    batch: str
    place: str
    plants: int
    why: str
    on: date


class GerminationCount(SQLModel, table=True):
    """`up` seedlings of `of` sown."""

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    crop: str
    batch: str | None = None
    up: int
    of: int
    on: date


class PlantLoss(SQLModel, table=True):
    """Plants lost outside a harvest, or found missing in one (reason "gap")."""

    __table_args__ = (Index("ix_plant_loss_on", "farm_id", "on"),)

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    crop: str
    batch: str | None = None
    count: int
    reason: str
    places: list[str] = json_value()
    on: date


class Cut(SQLModel, table=True):
    """One crop picked at one time: `lot` is its code; `plants` were taken off the towers (0 where they regrow)."""

    __table_args__ = (Index("ix_cut_on", "farm_id", "on", "crop"),)

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    lot: str
    crop: str
    count: float | None = None
    weight_g: float | None = None
    culled: float | None = None
    plants: int = 0
    places: list[str] = json_value()
    on: date
    at: datetime = instant()
    person_id: int | None = None


class Cleaning(SQLModel, table=True):
    """Something was cleaned."""

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    what: str
    count: float | None = None
    places: list[str] = json_value()
    on: date


class Delivery(SQLModel, table=True):
    """Produce handed over to a recipient."""

    __table_args__ = (Index("ix_delivery_on", "farm_id", "on"),)

    farm_id: int = farm_key()
    entry: int = key()
    part: int = key()
    recipient: str
    crop: str
    count: float | None = None
    weight_g: float | None = None
    on: date
