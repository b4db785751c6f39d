"""What grows where, looked up."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sqlmodel import col, select

from core.books.ledger import Ledger
from core.books.tables import Batch, Crop, Place, Standing

Stand = tuple[Standing, Batch]


def crop(ledger: Ledger, slug: str) -> Crop | None:
    """A crop as the farm grows it."""
    return ledger.session.get(Crop, (ledger.farm_id, slug))


def crops(ledger: Ledger) -> dict[str, Crop]:
    """All crops of the farm by slug."""
    found = ledger.session.exec(select(Crop).where(Crop.farm_id == ledger.farm_id)).all()
    return {one.slug: one for one in found}


def places(ledger: Ledger, codes: Iterable[str] | None = None) -> dict[str, Place]:
    """The farm's places by code, all of them or those named."""
    query = select(Place).where(Place.farm_id == ledger.farm_id)
    if codes is not None:
        query = query.where(col(Place.code).in_(list(codes)))
    return {one.code: one for one in ledger.session.exec(query).all()}


def standing(ledger: Ledger, codes: Iterable[str] | None = None, crop: str | None = None) -> Sequence[Stand]:
    """What stands where now, with its batch, the oldest first; in the places named, or of one crop."""
    query = (
        select(Standing, Batch)
        .join(Batch, (col(Batch.farm_id) == Standing.farm_id) & (col(Batch.code) == Standing.batch))
        .where(Standing.farm_id == ledger.farm_id, Standing.plants > 0)
    )
    if codes is not None:
        query = query.where(col(Standing.place).in_(list(codes)))
    if crop is not None:
        query = query.where(Batch.crop == crop)
    return ledger.session.exec(query.order_by(col(Batch.sown_on), col(Standing.place))).all()
