"""Stretches of time: days and hours put together as a person who says when they can come means them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta

from service.understanding.sheet import Clause, Sheet
from service.understanding.times.clocks import Clock, clock_at
from service.understanding.times.days import Day, day_at, last_of_month
from service.understanding.times.stretch import Hours, Stretch


@dataclass(slots=True)
class _Scan:
    """Where the scan of a clause stands."""

    clause: Clause
    sent: datetime
    found: list[Stretch] = field(default_factory=list)
    now: Stretch = field(default_factory=Stretch)
    ranged: bool = False
    excepting: bool = False
    weekly: bool = False
    until: date | None = None
    month: int | None = None
    last_end: int = -1

    @property
    def sheet(self) -> Sheet:
        return self.clause.sheet

    def close(self) -> None:
        if not self.now.empty:
            self.found.append(self.now)
        self.now = Stretch()


def stretches(clause: Clause, sent: datetime) -> list[Stretch]:
    """The stretches of time a clause names, in order."""
    scan = _Scan(clause, sent)
    index = clause.start
    while index < clause.end:
        index = (
            _until(scan, index)
            or _weeks(scan, index)
            or _some_day(scan, index)
            or _some_hours(scan, index)
            or _part(scan, index)
            or _marker(scan, index)
        )
    scan.close()
    return _finished(scan)


def _finished(scan: _Scan) -> list[Stretch]:
    merged = _with_leading_hours(scan.found)
    for one in merged:
        one.until = one.until or scan.until
        if scan.month and _repeats(one):
            _within_month(scan, one)
        plural = any(day.plural for day in one.days)
        one.weekly = plural or ((scan.weekly or scan.until is not None) and _repeats(one))
    return merged


def _within_month(scan: _Scan, stretch: Stretch) -> Stretch:
    """ "no weekends in july": every such day that is left of the month."""
    last = last_of_month(scan.sent.date(), scan.month or 1)
    first = max(scan.sent.date(), last.replace(day=1))
    wanted = {day.weekday for day in stretch.days}
    days = [first + timedelta(days=ahead) for ahead in range((last - first).days + 1)]
    stretch.days = [Day(one) for one in days if one.weekday() in wanted]
    return stretch


def _repeats(stretch: Stretch) -> bool:
    return bool(stretch.days) and all(day.weekday is not None for day in stretch.days) and not stretch.shift_weeks


def _with_leading_hours(found: list[Stretch]) -> list[Stretch]:
    """Hours said before their day ("mornings on tues", "from 4 to 6 on the 14th") belong to the day."""
    merged: list[Stretch] = []
    for one in found:
        if merged and not merged[-1].days and one.days:
            merged[-1].days = one.days
            merged[-1].hours += one.hours
            merged[-1].parts += [] if merged[-1].hours else one.parts
            merged[-1].excepted += one.excepted
        elif merged and not one.days and not merged[-1].hours and merged[-1].days:
            merged[-1].hours += one.hours
            merged[-1].parts += one.parts
        else:
            merged.append(one)
    return merged


def _until(scan: _Scan, index: int) -> int | None:
    span = scan.sheet.at("time.until", index)
    if span is None or (scan.last_end == index and scan.now.days and scan.now.days[-1].weekday is None):
        return None
    at = span.end
    end_of = False
    while at < scan.clause.end and scan.sheet.within(at, "word.until_filler"):
        end_of = end_of or scan.sheet.within(at, "time.end")
        at += 1
    read = day_at(scan.sheet, at, scan.sent)
    if read and read[0].weekday is None and scan.sheet.at("relday", at) is None and (scan.now.days or scan.found):
        scan.until = read[0].date
        return read[1]
    month = scan.sheet.at("month", at)
    if month and (scan.now.days or scan.found):
        last = last_of_month(scan.sent.date(), int(month.value))
        including = end_of or scan.sheet.within(index, "time.including")
        scan.until = last if including else last.replace(day=1) - timedelta(days=1)
        return month.end
    return None


def _weeks(scan: _Scan, index: int) -> int | None:
    """ "next week", "la proxima semana", "this weekend", "weekdays"."""
    named = scan.sheet.at("days", index)
    if named:
        return _named_days(scan, named.value, named.end)
    week = scan.sheet.at("time.week", index)
    if week is None:
        return None
    ahead = _week_ahead(scan.sheet, week.start, week.end)
    if ahead is None:
        return None
    monday = scan.sent.date() - timedelta(days=scan.sent.weekday()) + timedelta(weeks=ahead)
    fresh = not scan.now.days and not scan.found
    following_days = any(one.start >= week.end for one in scan.clause.spans("day")) and not scan.clause.has(
        "time.except"
    )
    if fresh and following_days:
        scan.now.shift_weeks = 0
    if scan.now.days:
        _into_week(scan.now, monday)
    elif not following_days:
        scan.now.days = [Day(monday + timedelta(days=one)) for one in range(7) if _ahead(scan, monday, one)]
    return max(week.end, _after_next(scan.sheet, week.end))


def _after_next(sheet: Sheet, index: int) -> int:
    following = sheet.at("time.next", index)
    return following.end if following else index


def _ahead(scan: _Scan, monday: date, one: int) -> bool:
    return monday + timedelta(days=one) >= scan.sent.date()


def _week_ahead(sheet: Sheet, start: int, end: int) -> int | None:
    if sheet.before("time.next", start) or sheet.at("time.next", end):
        return 1
    return 0 if sheet.before("time.this", start) else None


def _into_week(stretch: Stretch, monday: date) -> None:
    stretch.days = [
        Day(monday + timedelta(days=day.weekday)) if day.weekday is not None else day for day in stretch.days
    ]


def _named_days(scan: _Scan, value: str, end: int) -> int:
    today = scan.sent.date()
    if scan.now.hours or (scan.now.parts and scan.now.days):
        scan.close()
    wanted = (5, 6) if value.startswith("weekend") else range(5)
    plural = value != "weekend"
    for one in wanted:
        scan.now.days.append(Day(today + timedelta(days=(one - today.weekday()) % 7), one, plural))
    return end


def _some_day(scan: _Scan, index: int) -> int | None:
    read = day_at(scan.sheet, index, scan.sent)
    if read is None or read[1] > scan.clause.end or _is_hour(scan.sheet, index):
        return None
    day, end = read
    if day.weekday is not None and day.date == scan.sent.date() and scan.now.days:
        day = replace(day, date=day.date + timedelta(days=7))  # "monday and tuesday" said on a Tuesday
    if scan.excepting:
        scan.now.excepted.append(day)
        return end
    if scan.now.hours or (scan.now.parts and scan.now.days):
        scan.close()
    if _spans_days(scan, index):
        scan.now.days.extend(_between(scan.now.days[-1], day))
    elif day not in scan.now.days:
        scan.now.days = [one for one in scan.now.days if not _is_the_same(one, day)]
        scan.now.days.append(day)
    scan.last_end = end
    return end


def _is_the_same(weekday: Day, day: Day) -> bool:
    """Whether a date says which of the named weekdays is meant ("saturday ... the 18th")."""
    named = weekday.weekday is not None and not weekday.plural and day.weekday is None
    return named and weekday.weekday == day.date.weekday()


def _is_hour(sheet: Sheet, index: int) -> bool:
    """ "the 4 to 6 one" is no date; a slash or an ending makes one."""
    return sheet.number_like(index) and index > 0 and sheet.before("time.at", index) is not None


def _spans_days(scan: _Scan, index: int) -> bool:
    """Whether the day that begins here ends a range: "monday thru thursday", "del lunes al miercoles"."""
    if not scan.now.days or scan.last_end < 0:
        return False
    sheet = scan.sheet
    joined = [one for one in range(scan.last_end, _past_joint(sheet, index)) if not sheet.within(one, "word.article")]
    return len(joined) == 1 and (sheet.is_mark(joined[0], "-") or sheet.within(joined[0], "join.range", "time.until"))


def _past_joint(sheet: Sheet, index: int) -> int:
    """Spanish "al" both joins a range of days and begins a date ("del 12 al 14")."""
    return index + (sheet.within(index, "join.range") and sheet.within(index, "time.date"))


def _between(first: Day, last: Day) -> Iterator[Day]:
    on, end = first.date, last.date
    if end < on:
        end += timedelta(days=7)
    while on < end and (on - first.date).days < 31:
        on += timedelta(days=1)
        yield Day(on, on.weekday() if last.weekday is not None else None, last.plural)


def _half_hint(scan: _Scan, near: int) -> str | None:
    part = next(iter(scan.now.parts), None)
    if part is None:
        after = [one for one in scan.clause.spans("part") if near <= one.start <= near + 1]
        part = after[0].value if after else None
    return {"morning": "am", "afternoon": "pm", "evening": "pm"}.get(part or "")


def _some_hours(scan: _Scan, index: int) -> int | None:
    """A range of hours, or an open end: "4-6", "from 9 til noon", "after 4", "before ten", "at 3"."""
    sheet, end = scan.sheet, scan.clause.end
    opened = sheet.at("time.from", index)
    at = opened.end if opened else index
    at = _skip(sheet, at)
    first = clock_at(sheet, at, end)
    if first is not None:
        ranged = _range_of_hours(scan, index, at, first, opened is not None)
        if ranged:
            return ranged
    return _open_ended(scan, index)


def _skip(sheet: Sheet, index: int) -> int:
    span = sheet.at("time.at", index)
    return span.end if span and not sheet.number_like(index) else index


def _range_of_hours(scan: _Scan, index: int, at: int, first: tuple[Clock, int, bool], opened: bool) -> int | None:
    sheet, end = scan.sheet, scan.clause.end
    clock, after, _ = first
    joint = sheet.at("time.to", after)
    last = clock_at(sheet, _skip(sheet, joint.end), end) if joint else None
    if joint is None or last is None or (sheet.within(joint.start, "join.and") and not _is_between(sheet, at)):
        return None
    if sheet.at("unit", last[1]) and sheet.at("unit", last[1]).value not in ("hours", "f", "c"):  # type: ignore[union-attr]
        return None
    _put_hours(scan, _range(clock, last[0], _half_hint(scan, last[1])))
    return last[1]


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


def _put_hours(scan: _Scan, hours: Hours) -> None:
    if hours[0] < hours[1]:
        scan.now.hours.append(hours)


def _open_ended(scan: _Scan, index: int) -> int | None:
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


def _part(scan: _Scan, index: int) -> int | None:
    span = scan.sheet.at("part", index)
    if span is None or span.end > scan.clause.end:
        return None
    relative = scan.sheet.at("relpart", index)
    if relative and not scan.now.days:
        back = -1 if relative.value == "yesterday" else 0
        scan.now.days.append(Day(scan.sent.date() + timedelta(days=back)))
    if not scan.now.hours:
        scan.now.parts.append(span.value)
    return span.end


def _marker(scan: _Scan, index: int) -> int:
    """Words that tell how the days are meant: every, except, not this one."""
    every = scan.sheet.at("time.every", index)
    if every and (len(scan.sheet.words[index]) > 3 or scan.sheet.at("day", every.end)):
        scan.weekly = scan.weekly or not scan.sheet.at("time.all", index) or _before_day(scan, every.end)
    month = scan.sheet.at("month", index)
    if month and index and scan.sheet.within(index - 1, "word.between"):
        scan.month = int(month.value)
    excepted = scan.sheet.at("time.except", index)
    if excepted and scan.now.days:
        scan.excepting = True
    elif scan.sheet.at("time.notthis", index):
        scan.now.shift_weeks = 1
    return index + 1


def _before_day(scan: _Scan, index: int) -> bool:
    return scan.sheet.at("day", index) is not None
