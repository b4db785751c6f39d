"""Reports about water and air: measurements, what went into a tank, probes calibrated."""

from __future__ import annotations

import math
from collections.abc import Iterator

from core.notes import TANK_MEASURES, Reading
from service.understanding.amounts import MILLILITRES, Amount, amounts
from service.understanding.found import Found, Report, Told
from service.understanding.scales import scale_of
from service.understanding.sheet import Clause, Sheet, Span, overlaps

NOT_MEASURED = frozenset(
    {*MILLILITRES, "heads", "bunches", "trays", "plugs", "hours", "minutes", "years", "boxes", "kg", "lb", "oz"}
)
MICROSIEMENS_ABOVE = 20
"""A bare EC above this is in µS/cm, for no nutrient solution has 20 mS/cm."""


def measures(clause: Clause) -> list[Span]:
    """The measures named, without those inside a supply's name ("ph down") or words that only sound like one."""
    supplies = [one for one in clause.spans("supply") if one.end - one.start > 1]
    found = [one for one in clause.spans("measure") if not overlaps(one, supplies)]
    found = [one for one in found if _is_meant(clause, one)]
    found = [*found, *_bare_ec(clause, found)]
    return sorted([*found, *_bare_water(clause, found)], key=lambda one: one.start)


def _bare_ec(clause: Clause, found: list[Span]) -> list[Span]:
    """ "nursery tank 1240 uS": a figure in units of conductivity measures nothing else."""
    if any(one.value == "ec" for one in found):
        return []
    given = [one for one in amounts(clause) if (one.unit == "us" and one.value >= 100) or one.unit == "ms"]
    return [Span(one.end - 1, one.end, "ec") for one in given]


def _bare_water(clause: Clause, found: list[Span]) -> list[Span]:
    """ "water 67": a bare number or degrees right after the word is its temperature."""
    if clause.has("act.added") or clause.has("trouble"):
        return []
    waters = [one for one in clause.spans("thing", "water") if not overlaps(one, found)]
    given = [one for one in amounts(clause) if one.unit in (None, "degrees", "f", "c") and one.value >= 5]
    return [
        Span(one.start, one.end, "water_temp")
        for one in waters
        if any(
            0 <= amount.start - one.end <= 1 or (amount.end == one.start and amount.unit in ("f", "c"))
            for amount in given
        )
    ]


def _is_meant(clause: Clause, span: Span) -> bool:
    """ "do" and "full", "air" and "level" are measures only beside their number or probe."""
    weak = any(one.start == span.start and one.end == span.end for one in clause.spans("measure_weak"))
    letters = all(len(word) <= 2 for word in clause.sheet.words[span.start : span.end])
    tank = clause.sheet.whole().has("tank") or clause.has("thing", "tank")
    level = span.value == "level" and not (tank or clause.has("unit", "percent"))
    if not weak and not level and (not letters or span.value in ("ph", "ec", "humidity", "co2")):
        return True
    near = [
        one
        for one in clause.spans("count")
        if (one.end <= span.start <= one.end + 2 or span.end <= one.start <= span.end + 3)
        and (span.value != "air_temp" or 4 <= one.value.value <= 130)
    ]
    if span.value == "oxygen":
        return _is_oxygen(clause, span)
    if span.value == "level" and weak and not (tank or clause.has("unit", "percent")):
        return False
    return bool(near) or clause.has("act.calibrated") or (span.value == "level" and clause.has("fraction"))


def _is_oxygen(clause: Clause, span: Span) -> bool:
    """ "DO 7.4" is dissolved oxygen, "can do 4 to 6" is not."""
    sheet = clause.sheet
    index = span.end + sheet.within(span.end, "word.is")
    if not sheet.number_like(index) or sheet.within(index + 1, "join.range"):
        return False
    told = "." in sheet.words[index] or clause.has("tank")
    opens = span.start == clause.start or sheet.is_mark(span.start - 1, ",", "&")
    return told and (opens or sheet.within(span.start - 1, "word.article", "join.and", "tank", "thing"))


def reading(report: Report, told: Told) -> Iterator[Found]:
    """Each measure with its value; a tank named anywhere in the text is meant where no nearer one is."""
    clause = report.clause
    spans = _without_doubles(measures(clause))
    values = [one for one in amounts(clause) if one.unit not in NOT_MEASURED]
    used: set[int] = set()
    for index, span in enumerate(spans):
        limit = spans[index + 1].start if index + 1 < len(spans) else clause.end
        value = _value_of(clause, span, limit, values, used, spans[index - 1].end if index else clause.start)
        yield _measured(span, value, clause, told)
    yield from _other_tanks(clause, spans, values, used, told)
    yield from _unnamed_heat(clause, values, used, told)
    if not spans and (clause.has("tank") or clause.has("unit", "percent") or clause.has("fraction")):
        yield from _bare_level(clause, values, told)
    elif not spans and clause.has("act.measured") and clause.has("word.it"):
        yield from _same_probe(report, values, told)
    elif not spans:
        yield from _bare_heat(clause, values)


def _same_probe(report: Report, values: list[Amount], told: Told) -> Iterator[Found]:
    """ "calibrated the pH probe, after which it read 6.4": what was calibrated is what was read."""
    before = report.before.clause if report.before is not None else None
    named = [one.value for one in measures(before)] if before is not None else []
    if before is None or len(set(named)) != 1 or not values:
        return
    where = tank_near(before, before.start, told.sheet) if named[0] in TANK_MEASURES else None
    missing = ("where",) if where is None and named[0] in TANK_MEASURES else ()
    value = in_units(named[0], values[0], told)
    yield Found(Reading(measure=named[0], value=value, where=where), missing, report.clause.start)


def _other_tanks(
    clause: Clause, spans: list[Span], values: list[Amount], used: set[int], told: Told
) -> Iterator[Found]:
    """ "ph of main is 6.3, nursery is 5.9": a tank with a bare number of its own goes on with the measure before."""
    tanks = clause.spans("tank")
    value_leads = any(one.end == tank.start and one.start in used for one in values for tank in tanks)
    for tank in tanks:
        before = [one for one in spans if one.end <= tank.start]
        own = [
            one
            for one in values
            if (one.end == tank.start if value_leads else tank.end <= one.start <= tank.end + 2)
            and one.start not in used
            and not one.unit
        ]
        measured = any(tank.end <= one.start <= own[0].start for one in spans) if own else True
        if before and own and not measured and before[-1].value in TANK_MEASURES:
            used.add(own[0].start)
            value = in_units(before[-1].value, own[0], told)
            yield Found(Reading(measure=before[-1].value, value=value, where=tank.value), (), tank.start)


def _unnamed_heat(clause: Clause, values: list[Amount], used: set[int], told: Told) -> Iterator[Found]:
    """ "main: pH 5.7, 71 F": degrees without a word for them beside a tank's readings are its water's."""
    for one in values:
        named = any(span.value in ("water_temp", "air_temp", "temp") for span in measures(clause))
        where = tank_near(clause, one.start, told.sheet)
        if one.unit in ("f", "c") and one.start not in used and where and not named:
            value = in_units("water_temp", one, told)
            yield Found(Reading(measure="water_temp", value=value, where=where), (), one.start)


def _bare_level(clause: Clause, values: list[Amount], told: Told) -> Iterator[Found]:
    """ "main tank is at 55 percent"."""
    for one in values:
        if one.unit == "percent":
            where = tank_near(clause, one.start, told.sheet)
            yield Found(Reading(measure="level", value=one.value, where=where), (), one.start)
            return
    figure = _in_words(clause, "level")
    where = tank_near(clause, clause.start, told.sheet)
    decimals = [one for one in values if one.unit is None and "." in clause.sheet.words[one.start]]
    if len(values) == 1 and decimals:
        yield Found(Reading(value=decimals[0].value, where=where), ("what",), clause.start)
    parts = clause.spans("fraction")
    if figure is not None and all(any(one.start <= few.start < one.end for one in parts) for few in values):
        yield Found(Reading(measure="level", value=figure, where=where), () if where else ("where",), clause.start)


def _without_doubles(spans: list[Span]) -> list[Span]:
    """ "80 degrees air temp": the plain word for a temperature beside its measure says nothing of its own."""
    named = [one for one in spans if one.value != "temp"]
    if any(one.value in ("water_temp", "air_temp", "level") for one in named):
        spans = named
    found: list[Span] = []
    for one in spans:
        if not (found and found[-1].value == one.value and one.start - found[-1].end <= 3):
            found.append(one)
    return found


def _value_of(
    clause: Clause, span: Span, limit: int, values: list[Amount], used: set[int], floor: int
) -> Amount | None:
    after = [one for one in values if span.end <= one.start < limit and one.start not in used]
    before = [
        one for one in values if floor <= one.start < span.start and one.end <= span.end and one.start not in used
    ]
    chosen = after[-1] if after and _mended(clause, after) else (after[0] if after else None)
    other = chosen is not None and any(span.end <= one.start < chosen.start for one in clause.spans("tank"))
    if before and (chosen is None or other or (before[-1].end >= span.start and chosen.start - span.end > 1)):
        chosen = before[-1]
    if len(after) > 1 and chosen is after[0] and _went_to(clause, after[0], after[1]):
        used.add(chosen.start)
        chosen = after[1]
    if chosen is not None and chosen.vague:
        return None
    if chosen is not None:
        used.add(chosen.start)
    return chosen


def _went_to(clause: Clause, first: Amount, second: Amount) -> bool:
    """ "dropped from 6.4 to 6.1": what was reached is the reading."""
    return clause.sheet.within(first.start - 1, "join.from") and clause.sheet.within(second.start - 1, "join.to")


def _mended(clause: Clause, after: list[Amount]) -> bool:
    return len(after) > 1 and any(
        after[0].end <= one.start and one.end <= after[-1].start for one in clause.spans("correct.mend")
    )


def _measured(span: Span, value: Amount | None, clause: Clause, told: Told) -> Found:
    measure, where = _kind_of_heat(span, clause, told)
    figure = in_units(measure, value, told) if value else _in_words(clause, measure)
    missing: tuple[str, ...] = ()
    bare = value is not None and value.unit not in ("f", "c")
    if (
        figure is None
        or math.isnan(figure)
        or not _plausible(measure, figure)
        or (measure == "air_temp" and bare and figure < 0)
    ):
        figure, missing = None, ("value",)
    if measure is None:
        return Found(Reading(value=figure), (*missing, "what"), span.start)
    if measure in TANK_MEASURES:
        at = value.start if value and value.start < span.start else span.start
        where = where or tank_near(clause, at, told.sheet)
        missing = missing if where else (*missing, "where")
        return Found(Reading(measure=measure, value=figure, where=where), missing, span.start)
    return Found(Reading(measure=measure, value=figure), missing, span.start)


POSSIBLE = {
    "ph": (0.0, 14.0),
    "air_temp": (-10.0, 60.0),
    "water_temp": (0.0, 60.0),
    "humidity": (0.0, 100.0),
    "level": (0.0, 100.0),
    "oxygen": (0.0, 30.0),
}
"""What a probe can show at all, in each measure's unit; a figure outside is no reading of it. From memory."""


def _plausible(measure: str | None, figure: float) -> bool:
    low, high = POSSIBLE.get(measure or "", (float("-inf"), float("inf")))
    return low <= figure <= high


def _kind_of_heat(span: Span, clause: Clause, told: Told) -> tuple[str | None, str | None]:
    """Whether a temperature is the water's or the air's: a tank or water makes it the water's, the room the air's."""
    if span.value != "temp":
        return span.value, None
    if clause.has("tank") or any(one.value in ("water", "tank") for one in clause.spans("thing")):
        return "water_temp", None
    if any(one.value == "room" for one in clause.spans("thing")):
        return "air_temp", None
    return None, None


def _in_words(clause: Clause, measure: str | None) -> float | None:
    """ "half full"."""
    fraction = clause.spans("fraction") if measure == "level" else []
    return float(fraction[0].value) * 100 if fraction else None


def in_units(measure: str | None, amount: Amount, told: Told) -> float:
    """A value in its measure's unit; no number where a meter's ppm are on a scale that was not said."""
    value = amount.value
    if measure == "ec" and amount.unit == "ppm":
        return round(value / (scale_of(told.sheet.whole()) or math.nan), 4)
    if measure == "ec":
        return round(value / 1000, 4) if value > MICROSIEMENS_ABOVE or amount.unit == "us" else value
    if measure in ("water_temp", "air_temp", None):
        unit = {"f": "F", "c": "C"}.get(amount.unit or "", told.sheet.vocabulary.temperature_unit)
        return round((value - 32) / 1.8, 1) if unit == "F" else round(value, 1)
    return value


def _bare_heat(clause: Clause, values: list[Amount]) -> Iterator[Found]:
    """ "its 84 in here"."""
    fahrenheit = clause.sheet.vocabulary.temperature_unit == "F"
    for one in values:
        if one.unit in (None, "f", "c", "degrees") and (40 if fahrenheit else 5) <= one.value <= (
            130 if fahrenheit else 55
        ):
            celsius = one.unit == "c" or (one.unit != "f" and not fahrenheit)
            value = round(one.value if celsius else (one.value - 32) / 1.8, 1)
            yield Found(Reading(measure="air_temp", value=value), (), one.start)
            return


def tank_near(clause: Clause, at: int, sheet: Sheet) -> str | None:
    """The tank meant at a token: the nearest in the clause, else the last named before, else the only one named."""
    own = clause.spans("tank")
    if own:
        value: str = min(own, key=lambda one: (abs(one.start - at), one.start)).value
        return value
    everywhere = sheet.marks.get("tank", [])
    before = [one for one in everywhere if one.start < at]
    if before:
        last: str = before[-1].value
        return last
    names = {one.value for one in everywhere}
    return names.pop() if len(names) == 1 else None
