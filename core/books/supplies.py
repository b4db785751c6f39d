"""Supplies and how much of each there is, looked up."""

from __future__ import annotations

from collections.abc import Sequence

from sqlmodel import col, select

from core.books.ledger import Ledger
from core.books.tables import Stock, Supply

Kept = tuple[Stock, Supply]


def kept(ledger: Ledger, item: str | None = None, crop: str | None = None) -> Sequence[Kept]:
    """What is known of a supply (of seed for every crop, or for one), or of all of them."""
    query = (
        select(Stock, Supply)
        .join(Supply, (col(Supply.farm_id) == Stock.farm_id) & (col(Supply.slug) == Stock.item))
        .where(Stock.farm_id == ledger.farm_id)
    )
    if item is not None:
        query = query.where(Stock.item == item)
    if crop is not None:
        query = query.where(Stock.crop == crop)
    return ledger.session.exec(query.order_by(col(Stock.item), col(Stock.crop))).all()


def is_low(stock: Stock, supply: Supply) -> bool:
    """Whether to get more: somebody said so, or what was counted is at or below the mark."""
    return stock.said in ("low", "out") or (stock.amount is not None and stock.amount <= supply.low_at)
