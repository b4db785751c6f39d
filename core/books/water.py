"""Readings and what they should be, calibrations, and open trouble, looked up."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from sqlmodel import col, select

from core.books import growing
from core.books.ledger import Ledger
from core.books.tables import Calibration, Measured, Tank, TroubleReport
from core.readings import Range, overlap


def tanks(ledger: Ledger) -> dict[str, Tank]:
    """The farm's tanks by slug."""
    found = ledger.session.exec(select(Tank).where(Tank.farm_id == ledger.farm_id)).all()
    return {one.slug: one for one in found}


def wanted(ledger: Ledger, measure: str, where: str) -> Range | None:
    """The strictest range that suits the crops standing in what a tank feeds, or anywhere for "room".

    None where nothing stands there, no crop there has a range for the measure, or no value suits them all: the usual
    range of the measure is then the one to go by.
    """
    tank = tanks(ledger).get(where)
    codes = (
        None if tank is None else [code for code, place in growing.places(ledger).items() if place.kind == tank.feeds]
    )
    there = {batch.crop for _, batch in growing.standing(ledger, codes)}
    crops = growing.crops(ledger)
    return overlap(crops[slug].ranges[measure] for slug in there if measure in crops[slug].ranges)


def latest(ledger: Ledger, measure: str, where: str, before: datetime | None = None) -> Measured | None:
    """The newest reading of a measure in a tank or "room", of those taken before an instant."""
    query = select(Measured).where(
        Measured.farm_id == ledger.farm_id, Measured.measure == measure, Measured.place == where
    )
    if before is not None:
        query = query.where(col(Measured.at) < before)
    return ledger.session.exec(query.order_by(col(Measured.at).desc(), col(Measured.entry).desc())).first()


def readings_between(ledger: Ledger, start: datetime, end: datetime) -> Sequence[Measured]:
    """Every reading from `start` to before `end`, the oldest first."""
    query = select(Measured).where(
        Measured.farm_id == ledger.farm_id, col(Measured.at) >= start, col(Measured.at) < end
    )
    return ledger.session.exec(query.order_by(col(Measured.at), col(Measured.entry))).all()


def last_calibration(ledger: Ledger, measure: str, tank: str) -> Calibration | None:
    """When the probe of a tank was last calibrated; where nobody said which probe it was, it was each."""
    query = select(Calibration).where(
        Calibration.farm_id == ledger.farm_id,
        Calibration.measure == measure,
        (col(Calibration.tank) == tank) | col(Calibration.tank).is_(None),
    )
    return ledger.session.exec(query.order_by(col(Calibration.at).desc())).first()


def open_trouble(ledger: Ledger) -> Sequence[TroubleReport]:
    """What is wrong and not yet closed, the newest first."""
    query = select(TroubleReport).where(TroubleReport.farm_id == ledger.farm_id, col(TroubleReport.open))
    return ledger.session.exec(query.order_by(col(TroubleReport.at).desc())).all()
