"""Readings that equipment delivers, by whatever way: judged alike, kept once, and looked at for trouble.

They are no entries of the journal. Measured on the demo farm, a reading as an entry with its posting costs a hundred
times as much time and three rows in place of one; nobody said it, so that nobody takes it back by text; and a farm
with ten probes read every five minutes would have a million entries a year, that every check of the books reads anew.
What is wrong is taken out by its source and time. Alarms that follow from them are entries.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from core.books import alarms, samples, water
from core.books.ledger import Ledger
from core.books.looks import look_at_once
from core.readings.admission import Fault, Raw, Taken, admit


@dataclass(frozen=True, slots=True)
class Delivery:
    """What came of a delivery: how many readings were `taken`, how many `known`; the faults with their places in it."""

    taken: int
    known: int
    faults: tuple[tuple[int, Fault], ...]


def check(ledger: Ledger, readings: Sequence[Raw], now: datetime) -> tuple[list[Taken], list[tuple[int, Fault]]]:
    """The readings as they would be kept, and what is wrong with the others; nothing is written."""
    tanks = {slug: tank.volume_l for slug, tank in water.tanks(ledger).items()}
    fit: list[Taken] = []
    faults: list[tuple[int, Fault]] = []
    for at, raw in enumerate(readings):
        found = admit(raw, tanks, now)
        if isinstance(found, Fault):
            faults.append((at, found))
        else:
            fit.append(found)
    return fit, faults


def deliver(ledger: Ledger, source: str, readings: Sequence[Raw], now: datetime, *, whole: bool = False) -> Delivery:
    """Keep the readings of a delivery that are right and not known yet.

    Args:
        ledger: the farm's books, in a unit of work that writes.
        source: who delivers; the same reading of the same source is kept once.
        readings: as they came.
        now: the moment they came in.
        whole: whether nothing is kept where anything is wrong.
    """
    fit, faults = check(ledger, readings, now)
    if whole and faults:
        return Delivery(0, 0, tuple(faults))
    written = samples.write_once(ledger.session, ledger.farm_id, source, fit)
    if written and _matters(ledger, written):
        look_at_once(ledger.session, ledger.farm_id)
    return Delivery(len(written), len(fit) - len(written), tuple(faults))


def _matters(ledger: Ledger, written: Iterable[Taken]) -> bool:
    """Whether a reading may begin or end a trouble: it is off, or an alarm is open where it was read."""
    alarmed = {(one.measure, one.place) for one in alarms.open_alarms(ledger)}
    wanted = water.wanted(ledger)
    return any(
        (one.measure, one.place) in alarmed or one.value not in wanted(one.measure, one.place).range for one in written
    )
