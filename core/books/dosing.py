"""What dosing goes by, looked up: strengths, how full a tank is, what it read last, and whom a minor should ask."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlmodel import col, select

from core.books import crew, people, water
from core.books.ledger import Ledger
from core.books.tables import Addition, Person, Strength
from core.dosing.acids import Bottle, bottle
from core.dosing.carbonate import Buffers, buffers_of
from core.dosing.tank import Feed

LEVEL_HOLDS = timedelta(days=2)
"""An older level is not gone by: the tank is taken as full, and that is said. Common practice, no source."""

READING_HOLDS = timedelta(hours=4)
"""An older pH or EC is not dosed by: measure first. Common practice, no source."""

USE_COUNTED = timedelta(days=30)
"""The use of a bottle is taken from so long back. Common practice, no source."""

IN_CHARGE = ("lead", "coordinator")


def strength(ledger: Ledger, item: str) -> Strength | None:
    """What a bottle or the tap is known to hold."""
    return ledger.session.get(Strength, (ledger.farm_id, item))


def feed(ledger: Ledger) -> Feed | None:
    """How strong nutrients A and B are; None where nobody has said."""
    row = strength(ledger, "nutrients")
    return Feed(**row.figures) if row else None


def bottle_of(ledger: Ledger, item: str) -> Bottle | None:
    """The acid ("ph_down") or base ("ph_up") that is used here; None where nobody has said."""
    row = strength(ledger, item)
    return bottle(row.substance, row.figures["percent"], row.figures["density"]) if row else None


def buffers(ledger: Ledger, temp_c: float, phosphate: float) -> Buffers | None:
    """What holds the pH of the farm's water, with phosphate from the nutrients (mmol/L); None where it is not known."""
    row = strength(ledger, "water")
    if row is None:
        return None
    own = buffers_of(row.figures["alkalinity_meq_l"], row.figures["ph"], temp_c)
    return Buffers(own.carbonate, phosphate, temp_c)


def water_ec(ledger: Ledger) -> float:
    """The EC of the farm's water, 0 where it is not known. [mS/cm]"""
    row = strength(ledger, "water")
    return row.figures["ec_ms_cm"] if row else 0.0


def volume_l(ledger: Ledger, tank: str, now: datetime) -> tuple[float, bool]:
    """How much is in a tank, by its newest level, and whether a level was known: else it is taken as full. [L]"""
    whole = water.tanks(ledger)[tank].volume_l
    level = fresh(ledger, "level", tank, now, LEVEL_HOLDS)
    return (whole, False) if level is None else (whole * level.value / 100, True)


def fresh(ledger: Ledger, measure: str, where: str, now: datetime, holds: timedelta) -> water.Read | None:
    """The newest reading of a measure, if it is not older than so long."""
    last = water.latest(ledger, measure, where)
    return last if last is not None and now - last.at <= holds else None


def used(ledger: Ledger, item: str, now: datetime) -> Sequence[tuple[datetime, float]]:
    """When and how much of a bottle went into the tanks, the oldest first. [mL]"""
    query = select(Addition).where(
        Addition.farm_id == ledger.farm_id, Addition.item == item, col(Addition.at) >= now - USE_COUNTED
    )
    return [(one.at, one.amount_ml) for one in ledger.session.exec(query.order_by(col(Addition.at)))]


def to_ask(ledger: Ledger, now: datetime) -> Person | None:
    """An adult in charge: one who is on shift now, else the first lead, else the coordinator."""
    adults = [one for one in people.crew(ledger) if one.role in IN_CHARGE and one.grown_up]
    there = _on_shift(ledger, now)
    return min(adults, key=lambda one: (one.id not in there, one.role != "lead"), default=None)


def _on_shift(ledger: Ledger, now: datetime) -> set[int]:
    shift = crew.next_shift(ledger, now)
    if shift is None or shift.starts_at > now:
        return set()
    return {person.id for place, person in crew.on_shift(ledger, shift.id) if place.answer != "no"}
