"""What grows where, looked up."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from datetime import date
from zoneinfo import ZoneInfo

from sqlmodel import col, select

from core.batches import Account, account
from core.books.ledger import Ledger, fold, from_plain
from core.books.tables import Batch, Crop, Entry, Gone, Place, Posting, Standing
from core.calendar import bounds, local_day
from core.crops import CropProfile

Stand = tuple[Standing, Batch]


def crop(ledger: Ledger, slug: str) -> Crop | None:
    """A crop as the farm grows it."""
    return ledger.session.get(Crop, (ledger.farm_id, slug))


def crops(ledger: Ledger) -> dict[str, Crop]:
    """All crops of the farm by slug."""
    found = ledger.session.exec(select(Crop).where(Crop.farm_id == ledger.farm_id)).all()
    return {one.slug: one for one in found}


def grown(row: Crop) -> CropProfile:
    """A crop of the books as a profile, to make another one like it; the sources stay with what is published."""
    values = {name: getattr(row, name) for name in Crop.model_fields if name != "farm_id"}
    names = {language: tuple(ways) for language, ways in row.names.items()}
    ranges = {measure: (least, most) for measure, (least, most) in row.ranges.items()}
    return CropProfile(**values | {"names": names, "ranges": ranges}, sources={})


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


def standing_on(ledger: Ledger, place: str, day: date, zone: ZoneInfo) -> Sequence[Stand]:
    """What stood in a place at the end of a farm-local day, from the journal, the oldest first.

    What was on the books when they were opened has stood there since the day that was said then.
    """
    postings: dict[str, list[Posting]] = defaultdict(list)
    _, before = bounds(day, day, zone)
    for _, posting in ledger.told_of("standing", f"|{place}", before):
        postings[posting.row].append(posting)
    postings |= _opened_later(ledger, place, day, zone)
    rows = [Standing(farm_id=ledger.farm_id, **from_plain(Standing, fold(one) or {})) for one in postings.values()]
    there = [(row, ledger.session.get_one(Batch, (ledger.farm_id, row.batch))) for row in rows if row.plants > 0]
    return sorted(there, key=lambda one: (one[1].sown_on, one[1].code))


def _opened_later(ledger: Ledger, place: str, day: date, zone: ZoneInfo) -> dict[str, list[Posting]]:
    """What the books were opened with after a day, where it had stood there on that day."""
    opening = books_begin(ledger)
    if opening is None or local_day(opening.said_at, zone) <= day:
        return {}
    query = select(Posting).where(Posting.farm_id == ledger.farm_id, Posting.entry == opening.n)
    rows = ledger.session.exec(query.where(Posting.account == "standing", Posting.verb == "record")).all()
    then = day.isoformat()
    return {one.row: [one] for one in rows if one.value["place"] == place and (one.value["since"] or then) <= then}


def books_begin(ledger: Ledger) -> Entry | None:
    """The first entry of the journal."""
    first = select(Entry).where(Entry.farm_id == ledger.farm_id).order_by(col(Entry.n)).limit(1)
    return ledger.session.exec(first).first()


def accounts(ledger: Ledger) -> list[Account]:
    """Where the plants of each batch came to, the oldest batch first."""
    standing: Counter[str] = Counter()
    for row in ledger.session.exec(select(Standing).where(Standing.farm_id == ledger.farm_id)):
        standing[row.batch] += row.plants
    gone: dict[str, Counter[str]] = defaultdict(Counter)
    for left in ledger.session.exec(select(Gone).where(Gone.farm_id == ledger.farm_id)):
        gone[left.batch][left.why] += left.plants
    batches = select(Batch).where(Batch.farm_id == ledger.farm_id).order_by(col(Batch.sown_on), col(Batch.code))
    return [
        account(one.code, one.crop, one.plugs, standing[one.code], gone[one.code])
        for one in ledger.session.exec(batches)
    ]
