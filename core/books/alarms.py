"""What the books say of a measure that may be a trouble, and the alarms that are open, looked up."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from statistics import median
from typing import Any

from sqlalchemy import func
from sqlmodel import col, or_, select

from core.alarms import Rule, Seen, escalation, rules, well_inside
from core.books import water
from core.books.ledger import Ledger
from core.books.tables import Alarm, Measured, Sample
from core.readings import Range

GAPS = 9
"""Times between readings that tell the usual one."""

FARTHEST = timedelta(days=30)
"""How far back the beginning of a trouble is looked for."""


def open_alarms(ledger: Ledger) -> Sequence[Alarm]:
    """The alarms that are not over, the newest first."""
    query = select(Alarm).where(Alarm.farm_id == ledger.farm_id, col(Alarm.over_at).is_(None))
    return ledger.session.exec(query.order_by(col(Alarm.opened_at).desc(), col(Alarm.entry).desc())).all()


def alarm(ledger: Ledger, entry: int) -> Alarm | None:
    """The alarm that an entry opened."""
    return ledger.session.exec(select(Alarm).where(Alarm.farm_id == ledger.farm_id, Alarm.entry == entry)).first()


def seen(ledger: Ledger, newest: water.Read, wanted: Range, now: datetime, *, alarmed: bool) -> Seen:
    """What is known of a measure in the place of its newest reading.

    Args:
        ledger: the farm's books.
        newest: the newest reading of the measure there.
        wanted: its range there.
        now: the moment it is looked at.
        alarmed: whether an alarm is open for it, so that all of it must be known.
    """
    rule, by_equipment = rules()[newest.measure], isinstance(newest, Sample) and newest.live
    return Seen(
        newest=newest.at,
        by_equipment=by_equipment,
        level=_level(ledger, newest, rule)
        if by_equipment and (alarmed or newest.value not in wanted)
        else newest.value,
        off_since=_off_since(ledger, newest, wanted) if newest.value not in wanted else None,
        same_since=_same_since(ledger, newest, rule) if by_equipment else None,
        habitual=not by_equipment and _habitual(ledger, newest, rule, now),
        usual_gap=_usual_gap(ledger, newest) if by_equipment and now - newest.at >= rule.silent else timedelta(0),
    )


def _level(ledger: Ledger, newest: water.Read, rule: Rule) -> float:
    """The middle value that equipment read within the time to act."""
    query = _of(Sample, ledger, newest).where(Sample.at > newest.at - rule.act, col(Sample.at) <= newest.at)
    return float(median(one.value for one in ledger.session.exec(query)))


def _off_since(ledger: Ledger, newest: water.Read, wanted: Range) -> datetime:
    """The first reading outside the range since the last that was well inside."""
    inside = well_inside(newest.measure, wanted)
    ends = [
        _edge(ledger, newest, table, func.max(table.at), table.value.between(inside.low, inside.high))
        for table in water.TABLES
    ]
    start = max((one for one in ends if one is not None), default=newest.at - FARTHEST)
    outside = [
        _edge(
            ledger, newest, table, func.min(table.at),
            table.at > start, or_(table.value < wanted.low, table.value > wanted.high),
        )
        for table in water.TABLES
    ]  # fmt: skip
    return min((one for one in outside if one is not None), default=newest.at)


def _edge(ledger: Ledger, newest: water.Read, table: type[Any], edge: Any, *where: Any) -> datetime | None:
    """The first or last moment of some readings up to the newest."""
    query = select(edge).where(
        table.farm_id == ledger.farm_id, table.measure == newest.measure, table.place == newest.place,
        table.at > newest.at - FARTHEST, table.at <= newest.at, *where,
    )  # fmt: skip
    found: datetime | None = ledger.session.exec(query).first()
    return found


def _same_since(ledger: Ledger, newest: water.Read, rule: Rule) -> datetime | None:
    """Since when equipment has read the very same value, where that is too long and it read often enough."""
    if rule.stuck is None:
        return None
    before = _of(Sample, ledger, newest).where(col(Sample.at) <= newest.at - rule.stuck)
    old = ledger.session.exec(before.order_by(col(Sample.at).desc()).limit(1)).first()
    if old is None or old.value != newest.value:
        return None
    stretch = _of(Sample, ledger, newest).where(col(Sample.at) >= old.at, col(Sample.at) <= newest.at)
    values = [one.value for one in ledger.session.exec(stretch)]
    return old.at if len(values) >= escalation()["stuck"]["least"] and set(values) == {newest.value} else None


def _usual_gap(ledger: Ledger, newest: water.Read) -> timedelta:
    """The middle one of the last times between two readings of equipment."""
    query = _of(Sample, ledger, newest).order_by(col(Sample.at).desc()).limit(GAPS + 1)
    ats = [one.at for one in ledger.session.exec(query)]
    gaps = sorted(later - earlier for later, earlier in pairwise(ats))
    return gaps[len(gaps) // 2] if gaps else timedelta(0)


def _habitual(ledger: Ledger, newest: water.Read, rule: Rule, now: datetime) -> bool:
    """Whether people measured it on enough days; looked up only once the next reading is overdue."""
    habit = escalation()["habit"]
    if rule.gap is None or not rule.gap <= now - newest.at < timedelta(days=habit["of"]):
        return False
    query = _of(Measured, ledger, newest).where(Measured.at > newest.at - timedelta(days=habit["of"]))
    return len({one.at.date() for one in ledger.session.exec(query)}) >= habit["days"]


def _of(table: type[Any], ledger: Ledger, newest: water.Read) -> Any:
    return select(table).where(
        table.farm_id == ledger.farm_id, table.measure == newest.measure, table.place == newest.place
    )
