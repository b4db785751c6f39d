"""The readings of a measure as they are drawn, gathered from the books."""

from __future__ import annotations

from datetime import datetime

from sqlmodel import col, or_, select

from core.books import water
from core.books.ledger import Ledger
from core.books.tables import Alarm, Calibration
from core.readings.curve import Curve, thinned


def curve(ledger: Ledger, measure: str, where: str, since: datetime, until: datetime) -> Curve:
    """One measure in a tank or "room" over a stretch of time, with the range wanted now."""
    read = water.series(ledger, measure, where, since, until)
    return Curve(
        measure, where, since, until,
        points=thinned(read, since, until),
        wanted=water.wanted(ledger)(measure, where).range,
        alarms=_alarms(ledger, measure, where, since, until),
        calibrations=_calibrations(ledger, measure, where, since, until),
    )  # fmt: skip


def _alarms(
    ledger: Ledger, measure: str, where: str, since: datetime, until: datetime
) -> tuple[tuple[datetime, datetime], ...]:
    query = select(Alarm).where(
        Alarm.farm_id == ledger.farm_id, Alarm.measure == measure, Alarm.place == where, Alarm.opened_at < until,
        or_(col(Alarm.over_at).is_(None), col(Alarm.over_at) > since),
    )  # fmt: skip
    found = ledger.session.exec(query.order_by(col(Alarm.opened_at)))
    return tuple((max(one.opened_at, since), min(one.over_at or until, until)) for one in found)


def _calibrations(ledger: Ledger, measure: str, where: str, since: datetime, until: datetime) -> tuple[datetime, ...]:
    query = select(Calibration.at).where(
        Calibration.farm_id == ledger.farm_id, Calibration.measure == measure,
        or_(Calibration.tank == where, col(Calibration.tank).is_(None)),
        Calibration.at >= since, Calibration.at < until,
    )  # fmt: skip
    return tuple(ledger.session.exec(query.order_by(col(Calibration.at))))
