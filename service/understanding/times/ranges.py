"""Ranges and lists of dates of one month: "june 3 to 5th", "may 16 & 17", "the third through the seventh of August"."""

from __future__ import annotations

import calendar
from collections.abc import Iterator
from datetime import timedelta

from service.understanding.numbers import ORDINAL_ENDS
from service.understanding.times.days import Day, day_number, day_of
from service.understanding.times.scan import Scan


def range_of_dates(scan: Scan, index: int) -> tuple[list[Day], int] | None:
    """The days of a range whose month comes last ("14-16 Sep", "the third through the seventh of August")."""
    sheet = scan.sheet
    first = day_number(sheet, index + sheet.within(index, "time.date"))
    joint = sheet.at("join.range", first[1]) or sheet.at("time.including", first[1]) if first else None
    if first is None or joint is None:
        return None
    last = day_number(sheet, joint.end + sheet.within(joint.end, "time.date"))
    if last is None or not first[0] < last[0]:
        return None
    at = last[1] + sheet.within(last[1], "join.of")
    month = sheet.at("month", at)
    short = month is not None and at == last[1] and month.value in ("5", "3") and len(sheet.words[at]) < 4
    if month is None or short or month.end > scan.clause.end or day_number(sheet, month.end):
        return None
    end = day_of(scan.sent.date(), int(month.value), last[0])
    if end is None:
        return None
    days = [Day(end - timedelta(days=back)) for back in range(last[0] - first[0], -1, -1)]
    return days, month.end


def further_dates(scan: Scan, index: int, day: Day, end: int) -> Iterator[tuple[Day, int]]:
    """The dates that a list of one month goes on with ("may 16 & 17"), and where each ends."""
    sheet = scan.sheet
    while sheet.at("month", index) and (sheet.at("join.and", end) or sheet.is_mark(end, ",")):
        joint = sheet.at("join.and", end)
        at = joint.end if joint else end + 1
        text = sheet.tokens[at].text if at < scan.clause.end else ""
        last = calendar.monthrange(day.date.year, day.date.month)[1]
        halved = len(text) == 1 and sheet.at("meridiem", at + 1)
        ranged = sheet.at("time.to", at + 1) and not sheet.at("join.and", at + 1)
        hours = halved or ranged or sheet.at("unit", at + 1)
        if not text.isdigit() or len(text) > 2 or hours or not day.date.day < int(text) <= last:
            break
        day, end = Day(day.date.replace(day=int(text))), at + 1
        yield day, end


def last_date(scan: Scan, index: int, day: Day, end: int) -> tuple[Day, int] | None:
    """The last day, and its end, of a range of dates in one month ("may 12-15", "june 3 to 5th")."""
    sheet = scan.sheet
    joint = sheet.at("join.range", end)
    if joint is None or sheet.at("month", index) is None or joint.end >= scan.clause.end:
        return None
    text, after = sheet.tokens[joint.end].text, joint.end + 1
    hours = sheet.at("meridiem", after) or sheet.at("time.to", after) or not text.isdigit() or len(text) > 2
    if hours or not day.date.day < int(text) <= calendar.monthrange(day.date.year, day.date.month)[1]:
        return None
    ended = after < len(sheet.tokens) and sheet.tokens[after].glued and sheet.words[after] in ORDINAL_ENDS
    return Day(day.date.replace(day=int(text))), after + ended


def is_another(scan: Scan, index: int, day: Day) -> bool:
    """Whether a date right after a day of the week falls on another one ("sat 6/14" where that is a Sunday)."""
    last = scan.now.days[-1] if scan.now.days else None
    if last is None or last.weekday is None or day.weekday is not None or index - scan.last_end > 1:
        return False
    between = scan.sheet.tokens[scan.last_end : index]
    named = {one.weekday for one in scan.now.days}
    return day.date.weekday() not in named and all(one.text in (",", "the", "el", "dia") for one in between)
