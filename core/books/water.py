"""Readings and what they should be, and calibrations, looked up."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from functools import lru_cache
from typing import Any

from sqlalchemy import and_, bindparam, func, union_all
from sqlmodel import col, select

from core.books import growing
from core.books.ledger import Ledger
from core.books.tables import Batch, Calibration, Measured, Place, RangeSet, Sample, Standing, Tank
from core.notes import MEASURES, TANK_MEASURES
from core.readings.ranges import Wanted, by_crop, wanted_range

Read = Measured | Sample
"""A reading, whoever or whatever took it."""

TABLES: tuple[Any, ...] = (Measured, Sample)
ROOM = "room"


def tanks(ledger: Ledger) -> dict[str, Tank]:
    """The farm's tanks by slug."""
    found = ledger.session.exec(select(Tank).where(Tank.farm_id == ledger.farm_id)).all()
    return {one.slug: one for one in found}


WantedAt = Callable[[str, str], Wanted]
"""What a measure should be in a tank or "room", and why."""


def wanted(ledger: Ledger) -> WantedAt:
    """What every measure should be everywhere, the books read once: set by the farm, else what suits what stands there.

    What stands in a tank's reach is what stands in the kind of place it feeds; in the room, everything.
    """
    feeds = {slug: tank.feeds for slug, tank in tanks(ledger).items()}
    grown: dict[str | None, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    for kind, crop, plants in _grown(ledger):
        grown[kind][crop] += plants
        grown[None][crop] += plants
    ranges = {slug: crop.ranges for slug, crop in growing.crops(ledger).items()}
    own = {(one.measure, one.place): (one.low, one.high) for one in ranges_set(ledger)}

    @lru_cache
    def of(measure: str, where: str) -> Wanted:
        """Of one measure in one place."""
        suits = by_crop(measure, grown[feeds.get(where)], ranges)
        return wanted_range(measure, suits, own.get((measure, where)))

    return of


def _grown(ledger: Ledger) -> Sequence[tuple[str, str, float]]:
    """Kind of place, crop, and how many plants of it stand in such places."""
    query = (
        select(Place.kind, Batch.crop, func.sum(Standing.plants))
        .join(Place, (col(Place.farm_id) == Standing.farm_id) & (col(Place.code) == Standing.place))
        .join(Batch, (col(Batch.farm_id) == Standing.farm_id) & (col(Batch.code) == Standing.batch))
        .where(Standing.farm_id == ledger.farm_id, Standing.plants > 0)
    )
    return ledger.session.exec(query.group_by(col(Place.kind), col(Batch.crop))).all()


def ranges_set(ledger: Ledger) -> Sequence[RangeSet]:
    """The ranges that the farm set itself and goes by now."""
    query = select(RangeSet).where(RangeSet.farm_id == ledger.farm_id, RangeSet.by == "own")
    return ledger.session.exec(query.order_by(col(RangeSet.place), col(RangeSet.measure))).all()


def places_of(measure: str, tanks: Iterable[str]) -> tuple[str, ...]:
    """Where a measure is read: in each tank, or in the room."""
    return tuple(sorted(tanks)) if measure in TANK_MEASURES else (ROOM,)


def latest(ledger: Ledger, measure: str, where: str, before: datetime | None = None) -> Read | None:
    """The newest reading of a measure in a tank or "room", by person or equipment, of those taken before an instant."""
    found = [one for table in TABLES if (one := _last(ledger, table, measure, where, before)) is not None]
    return max(found, key=lambda one: one.at, default=None)


def _last(ledger: Ledger, table: type[Any], measure: str, where: str, before: datetime | None) -> Read | None:
    query = select(table).where(table.farm_id == ledger.farm_id, table.measure == measure, table.place == where)
    if before is not None:
        query = query.where(table.at < before)
    found: Read | None = ledger.session.exec(query.order_by(*_newest_first(table)).limit(1)).first()
    return found


def _newest_first(table: type[Any]) -> tuple[Any, ...]:
    """Of two readings of one moment the later entry counts."""
    return (table.at.desc(), table.entry.desc()) if table is Measured else (table.at.desc(),)


def newest(ledger: Ledger) -> dict[tuple[str, str], Read]:
    """The newest reading of every measure everywhere: (measure, place) -> reading.

    One look along an index for each measure and place, however many readings there are.
    """
    known_tanks = tuple(tanks(ledger))
    pairs = tuple((measure, place) for measure in MEASURES for place in places_of(measure, known_tanks))
    found: dict[tuple[str, str], Read] = {}
    for table in TABLES:
        for one in ledger.session.execute(_newest_of(table, pairs), {"farm": ledger.farm_id}).scalars():
            known = found.get((one.measure, one.place))
            if known is None or known.at < one.at:
                found[one.measure, one.place] = one
    return found


@lru_cache(maxsize=256)
def _newest_of(table: Any, pairs: tuple[tuple[str, str], ...]) -> Any:
    """The query for the newest row of each pair of the farm bound as "farm"; built once, for building takes longest."""
    keys = [column.name for column in table.__table__.primary_key]
    farm: Any = bindparam("farm")

    def one(measure: str, place: str) -> Any:
        """The key of the newest reading of a measure in a place."""
        there = select(*(getattr(table, name) for name in keys)).where(
            table.farm_id == farm, table.measure == measure, table.place == place
        )
        return select(there.order_by(*_newest_first(table)).limit(1).subquery())

    all_of = union_all(*(one(*pair) for pair in pairs)).subquery()
    same = and_(*(getattr(table, name) == all_of.c[name] for name in keys))
    return select(table).join(all_of, same)


def readings_between(ledger: Ledger, start: datetime, end: datetime, measure: str | None = None) -> Sequence[Read]:
    """Every reading from `start` to before `end`, by person or equipment, the oldest first; of all or one measure."""
    found: list[Read] = []
    for table in TABLES:
        query = select(table).where(table.farm_id == ledger.farm_id, table.at >= start, table.at < end)
        if measure is not None:
            query = query.where(table.measure == measure)
        found += ledger.session.exec(query.order_by(*reversed(_newest_first(table)))).all()
    return sorted(found, key=lambda one: one.at)


def series(ledger: Ledger, measure: str, where: str, start: datetime, end: datetime) -> list[tuple[datetime, float]]:
    """When and how much was read of one measure in one place after `start` and before `end`, the oldest first."""
    found: list[tuple[datetime, float]] = []
    for table in TABLES:
        query = select(table.at, table.value).where(
            table.farm_id == ledger.farm_id, table.measure == measure, table.place == where
        )
        found += [(at, value) for at, value in ledger.session.exec(query.where(table.at > start, table.at < end))]
    return sorted(found)


def last_calibration(ledger: Ledger, measure: str, tank: str) -> Calibration | None:
    """When the probe of a tank was last calibrated; where nobody said which probe it was, it was each."""
    return next(iter(calibrations(ledger, measure, tank, 1)), None)


def calibrations(ledger: Ledger, measure: str, tank: str, most: int) -> Sequence[Calibration]:
    """So many of the calibrations of a tank's probe, the newest first; of those without a tank, each counts."""
    query = select(Calibration).where(
        Calibration.farm_id == ledger.farm_id,
        Calibration.measure == measure,
        (col(Calibration.tank) == tank) | col(Calibration.tank).is_(None),
    )
    return ledger.session.exec(query.order_by(col(Calibration.at).desc()).limit(most)).all()
