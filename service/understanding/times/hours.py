"""Hours within a clause: ranges, open ends, and the half of the day they mean."""

from __future__ import annotations

from service.understanding.sheet import Clause, Sheet
from service.understanding.times.clocks import Clock, clock_at
from service.understanding.times.scan import Scan
from service.understanding.times.stretch import Hours


def some_hours(scan: Scan, index: int) -> int | None:
    """A range of hours, or an open end: "4-6", "from 9 til noon", "after 4", "before ten", "at 3"."""
    sheet, end = scan.sheet, scan.clause.end
    opened = sheet.at("time.from", index)
    at = opened.end if opened else index
    at = _skip(sheet, at, _named_hours(scan.clause, at))
    first = clock_at(sheet, at, end)
    if first is not None:
        ranged = _range_of_hours(scan, index, at, first, opened is not None)
        if ranged:
            return ranged
    return _open_ended(scan, index)


def _half_hint(scan: Scan, near: int) -> str | None:
    part = next(iter(scan.now.parts), None)
    if part is None:
        after = [one for one in scan.clause.spans("part") if near <= one.start <= near + 1]
        part = after[0].value if after else None
    return {"morning": "am", "afternoon": "pm", "evening": "pm"}.get(part or "")


def _skip(sheet: Sheet, index: int, named: bool = False) -> int:
    """Past a word before an hour; past an article too where the hours are named as such."""
    span = sheet.at("time.at", index) or (sheet.at("word.article", index) if named else None)
    return span.end if span and not sheet.number_like(index) else index


def _named_hours(clause: Clause, index: int) -> bool:
    """ "from the 16 to the 18 hours": figures with an article that are hours and no dates."""
    near = [one for one in clause.spans("unit", "hours") if index < one.start <= index + 5]
    return bool(near) and clause.sheet.within(index, "word.article")


def _range_of_hours(scan: Scan, index: int, at: int, first: tuple[Clock, int, bool], opened: bool) -> int | None:
    sheet, end = scan.sheet, scan.clause.end
    clock, after, _ = first
    joint = sheet.at("time.to", after)
    named = _named_hours(scan.clause, joint.end) if joint else False
    last = clock_at(sheet, _skip(sheet, joint.end, named), end) if joint else None
    if joint is None or last is None or (sheet.within(joint.start, "join.and") and not _is_between(sheet, at)):
        return None
    if sheet.at("unit", last[1]) and sheet.at("unit", last[1]).value not in ("hours", "f", "c"):  # type: ignore[union-attr]
        return None
    if scan.now.days and (scan.now.hours or (scan.found and not scan.found[-1].days)) and _day_follows(sheet, last[1]):
        scan.close()  # "10-12 sat and 2-4 sun": the hours stand before their day
    _put_hours(scan, _range(clock, last[0], _half_hint(scan, last[1])))
    return last[1]


def _day_follows(sheet: Sheet, index: int) -> bool:
    """Whether a day stands right after some hours, a small word between them at most."""
    return any(
        sheet.at("day", at) or sheet.at("relday", at) for at in (index, index + sheet.within(index, "word.between"))
    )


def _is_between(sheet: Sheet, at: int) -> bool:
    return any(sheet.within(one, "time.between") for one in (at - 1, at - 2) if one >= 0)


def _range(first: Clock, last: Clock, hint: str | None) -> Hours:
    """Two hours of a range; what is said of the end holds for the start where that makes sense."""
    end = last.as_time(hint)
    start = first.as_time(hint)
    if first.half is None and not first.exact and last.half is not None:
        same = Clock(first.hour, first.minute, last.half).as_time()
        start = same if same < end else Clock(first.hour, first.minute, "am").as_time()
    if end <= start and end.hour < 12 and last.half is None:
        end = end.replace(hour=end.hour + 12)
    return start, end


def _put_hours(scan: Scan, hours: Hours) -> None:
    if hours[0] < hours[1]:
        scan.now.hours.append(hours)


def _open_ended(scan: Scan, index: int) -> int | None:
    sheet, end = scan.sheet, scan.clause.end
    opens, closes = sheet.vocabulary.opens, sheet.vocabulary.closes
    for family in ("time.after", "time.before", "time.at", ""):
        span = sheet.at(family, index) if family else None
        if family and span is None:
            continue
        read = clock_at(sheet, _skip(sheet, span.end) if span else index, end)
        if read is None or (not family and not (read[2] or sheet.at("time.onward", read[1]))):
            continue
        said = read[0].as_time(_half_hint(scan, read[1]))
        onward = sheet.at("time.onward", read[1])
        _put_hours(scan, (opens, said) if family == "time.before" and not onward else (said, closes))
        return onward.end if onward else read[1]
    return None
