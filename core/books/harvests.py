"""What was cut and what was given away, added up."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from sqlmodel import col, select

from core.books.ledger import Ledger
from core.books.tables import Cut, Delivery


@dataclass(frozen=True, slots=True)
class Amount:
    """So much of a crop: heads or bunches that were counted, and the mass of what was weighed only (no count). [g]"""

    crop: str
    count: float
    weight_g: float


def cuts(ledger: Ledger, first: date, last: date, crop: str | None = None) -> list[Amount]:
    """What was cut from the first to the last day, by crop, the most first."""
    query = select(Cut).where(Cut.farm_id == ledger.farm_id, col(Cut.on).between(first, last))
    return _added_up(ledger.session.exec(query.where(Cut.crop == crop) if crop else query).all())


def given(ledger: Ledger, first: date, last: date, crop: str | None = None) -> list[Amount]:
    """What was given away from the first to the last day, by crop, the most first."""
    query = select(Delivery).where(Delivery.farm_id == ledger.farm_id, col(Delivery.on).between(first, last))
    return _added_up(ledger.session.exec(query.where(Delivery.crop == crop) if crop else query).all())


def _added_up(rows: Sequence[Cut] | Sequence[Delivery]) -> list[Amount]:
    by_crop = [_amount(crop, [row for row in rows if row.crop == crop]) for crop in {row.crop for row in rows}]
    return sorted(by_crop, key=lambda one: (-one.count, -one.weight_g, one.crop))


def _amount(crop: str, rows: Iterable[Cut | Delivery]) -> Amount:
    """A mass beside a count tells the same produce once more; only produce that was weighed alone adds its mass."""
    kept = list(rows)
    count = sum(row.count or 0 for row in kept)
    return Amount(crop, count, sum(row.weight_g or 0 for row in kept if row.count is None))
