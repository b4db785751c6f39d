"""Whether an amount is said once and meant of each of several places."""

from __future__ import annotations

from service.understanding.sheet import Clause, overlaps


def from_each(clause: Clause) -> bool:
    """Whether the word for "each" stands right behind a number or a crop, or right before places.

    "4 ea." is a number of pieces, and letters of a code ("de A1") are no word.
    """
    sheet = clause.sheet
    return any(
        any(sheet.before(family, one.start) for family in ("crop", "count", "unit"))
        or sheet.at("place", one.end + sheet.within(one.end, "join.of", "join.from")) is not None
        for one in clause.spans("join.each")
        if not overlaps(one, clause.spans("place"))
        and not any(one.start <= time.start and time.end > one.end for time in clause.spans("time.every"))
        and not (sheet.before("count", one.start) and sheet.at("unit", one.start))
    )


def of_each(
    said: list[float], count: float | None, weight_g: float | None, many: int
) -> tuple[float | None, float | None, bool]:
    """ "6 romaine each from A1, A2 and A3": count and grams of all places, and whether more has to be asked.

    A total said besides may bear the sum out; "Bea and I 12 each" is of people, not of places.
    """
    if many < 2:
        return count, weight_g, True
    if count is None:
        return None, None if weight_g is None else weight_g * many, False
    total = min(said, default=count) * many
    return total, weight_g, (len(set(said)) > 1 and max(said) != total) or weight_g is not None
