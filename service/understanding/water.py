"""Reports about water and air: measurements, what went into a tank, probes calibrated."""

from __future__ import annotations

from collections.abc import Iterator

from core.notes import ADDABLE, TANK_MEASURES, Added, Calibrated, Reading
from service.understanding.amounts import MILLILITRES, Amount, amounts, same_unit
from service.understanding.found import Found, Report, Told
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
    return sorted([*found, *_bare_water(clause, found)], key=lambda one: one.start)


def _bare_water(clause: Clause, found: list[Span]) -> list[Span]:
    """ "water 67": a bare number or degrees right after the word is its temperature."""
    if clause.has("act.added") or clause.has("trouble"):
        return []
    waters = [one for one in clause.spans("thing", "water") if not overlaps(one, found)]
    given = [one for one in amounts(clause) if one.unit in (None, "degrees", "f", "c") and one.value >= 5]
    return [
        Span(one.start, one.end, "water_temp")
        for one in waters
        if any(0 <= amount.start - one.end <= 1 for amount in given)
    ]


def _is_meant(clause: Clause, span: Span) -> bool:
    """ "do" and "full", "air" and "level" are measures only beside their number or probe."""
    weak = any(one.start == span.start and one.end == span.end for one in clause.spans("measure_weak"))
    letters = all(len(word) <= 2 for word in clause.sheet.words[span.start : span.end])
    if not weak and (not letters or span.value in ("ph", "ec", "humidity", "co2")):
        return True
    near = [
        one
        for one in clause.spans("count")
        if (one.end <= span.start <= one.end + 2 or span.end <= one.start <= span.end + 3)
        and (span.value != "air_temp" or 4 <= one.value.value <= 130)
    ]
    if span.value == "oxygen":
        return _is_oxygen(clause, span)
    if span.value == "level" and not (clause.sheet.whole().has("tank") or clause.has("unit", "percent")):
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
    if not spans and clause.has("tank"):
        yield from _bare_level(clause, values, told)
    elif not spans:
        yield from _bare_heat(clause, values)


def _other_tanks(
    clause: Clause, spans: list[Span], values: list[Amount], used: set[int], told: Told
) -> Iterator[Found]:
    """ "ph of main is 6.3, nursery is 5.9": a tank with a bare number of its own goes on with the measure before."""
    for tank in clause.spans("tank"):
        before = [one for one in spans if one.end <= tank.start]
        own = [
            one for one in values if tank.end <= one.start <= tank.end + 2 and one.start not in used and not one.unit
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
    if before and (chosen is None or (before[-1].end >= span.start and chosen.start - span.end > 1)):
        chosen = before[-1]
    if chosen is not None and chosen.vague:
        return None
    if chosen is not None:
        used.add(chosen.start)
    return chosen


def _mended(clause: Clause, after: list[Amount]) -> bool:
    return len(after) > 1 and any(
        after[0].end <= one.start and one.end <= after[-1].start for one in clause.spans("correct.mend")
    )


def _measured(span: Span, value: Amount | None, clause: Clause, told: Told) -> Found:
    measure, where = _kind_of_heat(span, clause, told)
    figure = in_units(measure, value, told) if value else _in_words(clause, measure)
    missing: tuple[str, ...] = ()
    if figure is None or not _plausible(measure, figure):
        figure, missing = None, ("value",)
    if measure is None:
        return Found(Reading(value=figure), (*missing, "what"), span.start)
    if measure in TANK_MEASURES:
        where = where or tank_near(clause, span.start, told.sheet)
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
    """A value in its measure's unit."""
    value = amount.value
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


def added(report: Report, told: Told) -> Iterator[Found]:
    """What was put into a tank, one note an item; an amount said once holds for items joined by "and"."""
    clause = report.clause
    items = _items(clause)
    given = same_unit(clause.sheet, amounts(clause))
    shared = [one for one in given if one.unit in MILLILITRES]
    for index, (start, end, item) in enumerate(items):
        last = index + 1 == len(items)
        amount = _amount_of(
            start,
            end,
            given,
            items[index - 1][1] if index else clause.start,
            clause.end if last else items[index + 1][0],
        )
        if amount is None and len(shared) == 1:
            amount = shared[0]
        yield _put_in(item, amount, clause, start, told)
    if not items:
        yield _put_in(None, shared[0] if shared else None, clause, clause.start, told)


def _put_in(item: str | None, amount: Amount | None, clause: Clause, at: int, told: Told) -> Found:
    where = tank_near(clause, at, told.sheet)
    millilitres = amount.value * MILLILITRES[amount.unit] if amount and amount.unit in MILLILITRES else None
    missing = () if item else ("what",)
    if amount is None or amount.vague:
        missing, millilitres = (*missing, "value"), None
    elif millilitres is None:
        missing = (*missing, "unit")
    if where is None:
        missing = (*missing, "where")
    return Found(Added(item=item, amount_ml=millilitres, where=where), missing, at)


def _items(clause: Clause) -> list[tuple[int, int, str]]:
    """The things put in, in order: supplies that go into tanks, water, and nutrients called by their letter alone."""
    found = [(one.start, one.end, one.value) for one in clause.spans("supply") if one.value in ADDABLE]
    taken = {index for start, end, _ in found for index in range(start, end)}
    for one in clause.spans("thing", "water"):
        if one.start not in taken and not any(
            m.value == "water_temp" for m in clause.spans("measure") if m.start <= one.start < m.end
        ):
            found.append((one.start, one.end, "water"))
    for index in range(clause.start, clause.end):
        word = clause.sheet.words[index]
        if (
            word in ("a", "b")
            and index not in taken
            and index not in clause.sheet.taken
            and _is_nutrient(clause, index)
        ):
            found.append((index, index + 1, f"nutrient_{word}"))
    return sorted(set(found))


def _is_nutrient(clause: Clause, index: int) -> bool:
    """Whether a letter alone is a nutrient: after that word, in "A and B", or after "of" or a unit, no noun next."""
    sheet = clause.sheet
    thing = sheet.before("thing", index)
    if (thing is not None and thing.value == "nutrient") or _is_pair(clause, index):
        return True
    ends = index + 1 >= clause.end or sheet.tokens[index + 1].kind == "mark"
    ends = ends or sheet.within(index + 1, "join.and", "join.to", "join.each", "join.from", "greeting")
    return ends and (sheet.within(index - 1, "join.of") or sheet.before("unit", index) is not None)


def _is_pair(clause: Clause, index: int) -> bool:
    words, at = clause.sheet.words, index if clause.sheet.words[index] == "a" else index - 2
    if at < clause.start or at + 2 >= clause.end or (words[at], words[at + 2]) != ("a", "b"):
        return False
    return clause.sheet.is_mark(at + 1, "&", "+", "/") or clause.sheet.within(at + 1, "join.and")


def _amount_of(start: int, end: int, given: list[Amount], floor: int, ceiling: int) -> Amount | None:
    before = [one for one in given if floor <= one.start and one.end <= start]
    after = [one for one in given if end <= one.start < ceiling]
    if before:
        return before[-1]
    measured = [one for one in after if one.unit in MILLILITRES]
    return next(iter(measured or after), None)


def calibrated(report: Report, told: Told) -> Iterator[Found]:
    """Probes calibrated; the numbers of the buffers are no readings."""
    clause = report.clause
    named = list(dict.fromkeys(one.value for one in measures(clause)))
    where = clause.first("tank")
    if not named:
        yield Found(Calibrated(where=where), ("what",), clause.start)
    for measure in named:
        yield Found(Calibrated(measure=measure, where=where), (), clause.start)
