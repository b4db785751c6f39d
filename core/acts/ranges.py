"""The range that the farm wants of a measure, set by a coordinator or left to the crops."""

from __future__ import annotations

import math

from core.acts.scene import Scene
from core.books import water
from core.books.tables import RangeSet
from core.errors import Refused
from core.notes import SetRange
from core.outcome import Fact, Outcome, fact
from core.readings import Range, possible
from core.readings.ranges import Wanted


def set_range(note: SetRange, scene: Scene) -> Outcome:
    """Set the range wanted in a tank or the room, or go by the crops again.

    Raises:
        Refused: "impossible_range", where an end cannot be read at all or the low end is not below the high one.
    """
    measure, where = str(note.measure), note.where or water.ROOM
    low, high = (None, None) if note.usual else (note.low, note.high)
    ends = [one for one in (low, high) if one is not None]
    if not all(possible(measure, one) for one in ends) or ends != sorted(set(ends)):
        raise Refused("impossible_range", measure=measure)
    writing = scene.enter(note)
    key = {"measure": measure, "place": where}
    writing.put(RangeSet, key, low=low, high=high, by="" if note.usual else "own")
    wanted = water.wanted(scene.ledger)(measure, where)
    return Outcome((fact("range_set", **range_values(measure, where, wanted)),), entry=writing.n)


def range_values(measure: str, where: str, wanted: Wanted) -> dict[str, object]:
    """What there is to say of a range: where, its ends, and which crop sets which end, or who else did."""
    return {
        "measure": measure,
        "where": None if where == water.ROOM else where,
        "wanted": range_facts(measure, wanted.range),
        "low_by": wanted.low_by,
        "high_by": wanted.high_by,
        "origin": f"range_{wanted.origin}" if wanted.origin != "crops" else None,
        "without": list(wanted.without),
    }


def range_facts(measure: str, wanted: Range) -> tuple[Fact, ...]:
    """The range as a fact of its own, open on a side or not."""
    low, high = ({"measure": measure, "value": value} for value in (wanted.low, wanted.high))
    if math.isinf(wanted.low):
        return (fact("range_to", high=high),)
    return (fact("range_from", low=low),) if math.isinf(wanted.high) else (fact("range_between", low=low, high=high),)
