"""Stretches of time: days and hours put together as a person who says when they can come means them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta

from core.notes import DAYS
from service.understanding.sheet import Clause, Sheet
from service.understanding.times.days import Day, day_at, last_of_month
from service.understanding.times.hours import some_hours
from service.understanding.times.ranges import further_dates, is_another, last_date, range_of_dates
from service.understanding.times.scan import Scan
from service.understanding.times.stretch import Stretch


def stretches(clause: Clause, sent: datetime) -> list[Stretch]:
    """The stretches of time a clause names, in order."""
    scan = Scan(clause, sent)
    index = clause.start
    while index < clause.end:
        index = (
            _until(scan, index)
            or _weeks(scan, index)
            or _some_dates(scan, index)
            or _some_day(scan, index)
            or some_hours(scan, index)
            or _part(scan, index)
            or _marker(scan, index)
        )
    scan.close()
    return _finished(scan)


def _finished(scan: Scan) -> list[Stretch]:
    merged = _with_leading_hours(scan.found)
    for one in merged:
        one.until = one.until or scan.until
        if scan.month and _repeats(one):
            _within_month(scan, one)
        plural = any(day.plural for day in one.days)
        one.vague = one.vague or (scan.open_until and _repeats(one))
        one.weekly = plural or ((scan.weekly or scan.until is not None) and _repeats(one))
        one.vague = one.vague or (one.opens and not one.weekly and not one.shift_weeks)
    return merged


def _within_month(scan: Scan, stretch: Stretch) -> Stretch:
    """ "no weekends in july": every such day that is left of the month."""
    last = last_of_month(scan.sent.date(), scan.month or 1)
    first = max(scan.sent.date(), last.replace(day=1))
    wanted = {day.weekday for day in stretch.days}
    days = [first + timedelta(days=ahead) for ahead in range((last - first).days + 1)]
    stretch.days = [Day(one) for one in days if one.weekday() in wanted]
    named = scan.clause.spans("day")
    nth = scan.sheet.before("nth", named[0].start) if len(named) == 1 else None
    if nth and 1 <= int(nth.value) <= 5:  # "the first saturday of june"
        stretch.days = [one for one in stretch.days if (one.date.day - 1) // 7 == int(nth.value) - 1]
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


def _until(scan: Scan, index: int) -> int | None:
    span = scan.sheet.at("time.until", index)
    if span is None or (scan.last_end == index and scan.now.days and scan.now.days[-1].weekday is None):
        return None
    at = span.end
    end_of = False
    while at < scan.clause.end and scan.sheet.within(at, "word.until_filler"):
        end_of = end_of or scan.sheet.within(at, "time.end")
        at += 1
    read = day_at(scan.sheet, at, scan.sent)
    of_days = bool(scan.now.days or scan.found or any(one.start > at for one in scan.clause.spans("day")))
    if read and read[0].weekday is None and scan.sheet.at("relday", at) is None and of_days:
        scan.until = read[0].date
        return read[1]
    month = scan.sheet.at("month", at)
    if month and of_days:
        last = last_of_month(scan.sent.date(), int(month.value))
        including = end_of or scan.sheet.within(index, "time.including")
        scan.until = last if including else last.replace(day=1) - timedelta(days=1)
        return month.end
    if scan.sheet.within(index, "word.until") and scan.clause.end > at and scan.sheet.tokens[at].kind == "word":
        known = any(scan.sheet.at(family, at) for family in KNOWN_ENDS)
        scan.open_until = scan.open_until or not known  # "til thanksgiving"
    return _from_now(scan, read, scan.sheet.within(index, "time.including")) if read and not scan.found else None


KNOWN_ENDS = (
    "day",
    "relday",
    "number",
    "time.noon",
    "time.close",
    "time.open",
    "time.at",
    "time.about",
    "time.week",
    "part",
)
"""What may end a stretch and is read as an hour or a day."""


def _from_now(scan: Scan, read: tuple[Day, int], including: bool) -> int | None:
    """ "booked thru friday" begins today; whether "gone till monday" holds the monday is not said."""
    day, end = read
    if scan.now.days or scan.now.hours or day.plural or day.date <= scan.sent.date():
        return None
    scan.now.vague = not including
    scan.now.days = [Day(scan.sent.date()), *_between(Day(scan.sent.date()), replace(day, weekday=None))]
    scan.last_end = end
    return end


def _weeks(scan: Scan, index: int) -> int | None:
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


def _ahead(scan: Scan, monday: date, one: int) -> bool:
    return monday + timedelta(days=one) >= scan.sent.date()


def _week_ahead(sheet: Sheet, start: int, end: int) -> int | None:
    if sheet.before("time.next", start) or sheet.at("time.next", end):
        return 1
    whole = any(one.start <= start and end <= one.end for one in sheet.marks.get("time.all_week", ()))
    return 0 if whole or sheet.before("time.this", start) else None


def _into_week(stretch: Stretch, monday: date) -> None:
    stretch.days = [
        Day(monday + timedelta(days=day.weekday)) if day.weekday is not None else day for day in stretch.days
    ]


def _named_days(scan: Scan, value: str, end: int) -> int:
    today = scan.sent.date()
    if scan.now.hours or scan.parted:
        scan.close()
    wanted: Iterable[int] = (5, 6) if value.startswith("weekend") else range(5)
    if value not in ("weekend", "weekends", "weekdays"):  # "mwf"
        wanted = tuple(DAYS.index(one) for one in value.split())
    plural = value != "weekend"
    for one in wanted:
        scan.now.days.append(Day(today + timedelta(days=(one - today.weekday()) % 7), one, plural))
    return end


def _some_dates(scan: Scan, index: int) -> int | None:
    ranged = range_of_dates(scan, index) if not scan.excepting else None
    if ranged is None:
        return None
    if scan.now.hours or scan.parted:
        scan.close()
    scan.now.days.extend(ranged[0])
    scan.last_end = ranged[1]
    return ranged[1]


def _some_day(scan: Scan, index: int) -> int | None:
    read = day_at(scan.sheet, index, scan.sent)
    if read is None or read[1] > scan.clause.end or _is_hour(scan.sheet, index):
        return None
    day, end = read
    if day.weekday is not None and day.date == scan.sent.date() and scan.now.days:
        day = replace(day, date=day.date + timedelta(days=7))  # "monday and tuesday" said on a Tuesday
    if scan.excepting:
        scan.now.excepted.append(day)
        return end
    day, end = _numbered(scan, day, end)
    if scan.now.hours or scan.parted or (scan.whole_day and scan.now.days):
        scan.close()
    opening = scan.sheet.before("time.opening", index) or scan.sheet.before("time.opening", index - 1)
    scan.now.opens = scan.now.opens or (opening is not None and not scan.now.days)
    if _spans_days(scan, index):
        scan.now.opens = False
        scan.now.days.extend(_between(scan.now.days[-1], day))
    elif until := last_date(scan, index, day, end):
        scan.now.days.extend([day, *_between(day, until[0])])
        end = until[1]
    elif day not in scan.now.days:
        scan.now.vague = scan.now.vague or is_another(scan, index, day)
        scan.now.days = [one for one in scan.now.days if not _is_the_same(one, day)]
        scan.now.days.append(day)
    for further, after in further_dates(scan, index, day, end):
        scan.now.days.append(further)
        end = after
    scan.last_end = end
    return end


def _numbered(scan: Scan, day: Day, end: int) -> tuple[Day, int]:
    """ "sabado 16": the number after a day of the week says which one, where it can be no hour."""
    text = scan.sheet.tokens[end].text if end < scan.clause.end else ""
    if day.weekday is None or day.plural or not text.isdigit() or len(text) != 2 or not 12 < int(text) <= 31:
        return day, end
    if scan.sheet.at("time.to", end + 1) or scan.sheet.at("unit", end + 1) or scan.sheet.is_mark(end + 1, "/", ":"):
        return day, end
    dates = [day.date + timedelta(weeks=ahead) for ahead in range(6)]
    meant = next((one for one in dates if one.day == int(text)), None)
    scan.now.vague = scan.now.vague or meant is None
    return (Day(meant) if meant else day), end + 1


def _is_the_same(weekday: Day, day: Day) -> bool:
    """Whether a date says which of the named weekdays is meant ("saturday ... the 18th")."""
    named = weekday.weekday is not None and not weekday.plural and day.weekday is None
    return named and weekday.weekday == day.date.weekday()


def _is_hour(sheet: Sheet, index: int) -> bool:
    """ "the 4 to 6 one" is no date; a slash or an ending makes one."""
    return sheet.number_like(index) and index > 0 and sheet.before("time.at", index) is not None


def _spans_days(scan: Scan, index: int) -> bool:
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


def _part(scan: Scan, index: int) -> int | None:
    span = scan.sheet.at("part", index)
    if span is None or span.end > scan.clause.end:
        return None
    if span.value == "none":  # "i just got off nights" is about other work
        return span.end
    relative = scan.sheet.at("relpart", index)
    if relative and not scan.now.days:
        back = -1 if relative.value == "yesterday" else 0
        scan.now.days.append(Day(scan.sent.date() + timedelta(days=back)))
    if scan.now.days and (scan.parted or scan.now.hours) and _before_day(scan, span.end):
        scan.close()  # "thursday afternoon and all day saturday"
    scan.parted = scan.parted or bool(scan.now.days)
    scan.whole_day = span.value == "all_day"
    if not scan.now.hours:
        scan.now.parts.append(span.value)
    return span.end


def _marker(scan: Scan, index: int) -> int:
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
    elif excepted and scan.sheet.at("day", excepted.end) and not scan.sheet.within(index, "join.and"):
        scan.now.vague = True  # every day but one, and no word of which days
    elif scan.sheet.at("time.notthis", index):
        scan.now.shift_weeks = 1
    return index + 1


def _before_day(scan: Scan, index: int) -> bool:
    return scan.sheet.at("day", index) is not None
