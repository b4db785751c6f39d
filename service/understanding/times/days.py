"""Days and dates: "tomorrow", "thurs", "the 14th", "5 de junio", "last week"."""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from core.notes import DAYS
from service.understanding.numbers import ORDINAL_ENDS
from service.understanding.sheet import Clause, Sheet, Span
from service.understanding.tokens import fold


@dataclass(frozen=True, slots=True)
class Day:
    """A day as said. `weekday` is set for a named day of the week, `plural` when it is said of every one of them."""

    date: date
    weekday: int | None = None
    plural: bool = False
    later: bool = False


def day_at(sheet: Sheet, index: int, sent: datetime, past: bool = False) -> tuple[Day, int] | None:
    """The day that begins at a token, and where it ends; with `past` the last such day and not the next."""
    relative = sheet.at("relday", index)
    named = sheet.at("day", index)
    if named and not (relative and relative.end > named.end):
        return _weekday(sheet, index, sent, past)
    if relative:
        if _is_part_of_day(sheet, relative.start):
            return None
        return Day(sent.date() + timedelta(days=int(relative.value))), relative.end
    return _date_at(sheet, index, sent, past)


def _is_part_of_day(sheet: Sheet, index: int) -> bool:
    """Spanish "manana" is tomorrow, and after "la" or "esta" the morning."""
    return any(part.start < index < part.end for part in sheet.marks.get("part", ()))


def _weekday(sheet: Sheet, index: int, sent: datetime, past: bool) -> tuple[Day, int] | None:
    span = sheet.at("day", index)
    if span is None:
        return None
    wanted = DAYS.index(span.value)
    ahead = (wanted - sent.weekday()) % 7
    if past:
        ahead = ahead - 7 if ahead else 0
    token = sheet.tokens[index]
    owned = "'" in fold(sheet.text[token.start : token.end])
    plural = not owned and any(one.start <= index < one.end for one in sheet.marks.get("everyday", ()))
    following = sheet.before("time.next", index)
    if following and not past and (ahead == 0 or _this_one_named(sheet, index, span.value)):
        ahead += 7
    return Day(sent.date() + timedelta(days=ahead), wanted, plural), span.end


def _this_one_named(sheet: Sheet, index: int, value: str) -> bool:
    """Whether the coming such day was named before: "not this saturday but next saturday"."""
    return any(
        one.start < index and one.value == value and sheet.before("time.this", one.start)
        for one in sheet.marks.get("day", ())
    )


def _date_at(sheet: Sheet, index: int, sent: datetime, past: bool) -> tuple[Day, int] | None:
    for reader in (_month_first, _day_first, _numeric, _day_alone):
        read = reader(sheet, index)
        if read is None:
            continue
        month, day, end = read
        found = _nearest(sent.date(), month, day, past)
        if found:
            return Day(found), end
    return None


Found = tuple[int | None, int, int] | None


def _digits(sheet: Sheet, index: int, most: int) -> int | None:
    if not 0 <= index < len(sheet.tokens):
        return None
    text = sheet.tokens[index].text
    if text.isdigit() and len(text) <= 2 and 1 <= int(text) <= most:
        return int(text)
    return None


def day_number(sheet: Sheet, index: int) -> tuple[int, int] | None:
    """A day of the month in digits or words, its ending ("14th") included."""
    day = _digits(sheet, index, 31)
    if day is None:
        word = sheet.at("nth", index) or sheet.at("number", index)
        return (int(word.value), word.end) if word and 1 <= int(word.value) <= 31 else None
    end = index + 1
    if end < len(sheet.tokens) and sheet.tokens[end].glued and sheet.words[end] in ORDINAL_ENDS:
        end += 1
    return day, end


def _month_first(sheet: Sheet, index: int) -> Found:
    month = sheet.at("month", index)
    if month is None:
        return None
    at = month.end
    if sheet.within(at, "time.date") or sheet.is_mark(at, "."):
        at += 1
    day = day_number(sheet, at)
    return (int(month.value), *day) if day else None


def _day_first(sheet: Sheet, index: int) -> Found:
    day = day_number(sheet, index)
    if day is None:
        return None
    at = day[1] + sheet.within(day[1], "join.of")
    month = sheet.at("month", at)
    if month is None or (at == day[1] and not _is_month(sheet, month)):
        return None
    return int(month.value), day[0], month.end


def end_of_date(sheet: Sheet, index: int) -> int | None:
    """Where a date with its month ends that begins at a token ("may 2", "2 de mayo", "on 5/2"), if one does."""
    numeric = _numeric(sheet, index) if sheet.before("time.on", index) else None
    read = _month_first(sheet, index) or _day_first(sheet, index) or numeric
    return read[2] if read else None


def _is_month(sheet: Sheet, month: Span) -> bool:
    """Whether "may" or "mar" behind a number is a month: written so, or the last word before a stop."""
    if len(sheet.words[month.start]) > 3 or month.value not in ("5", "3"):
        return True
    capital = sheet.text[sheet.tokens[month.start].start].isupper() and not sheet.text.isupper()
    return capital or month.end >= len(sheet.tokens) or sheet.tokens[month.end].kind == "mark"


def _numeric(sheet: Sheet, index: int) -> Found:
    month, day = _digits(sheet, index, 31), _digits(sheet, index + 2, 31)
    if month is None or day is None or sheet.words[index + 1] != "/":
        return None
    if (
        sheet.at("unit", index + 3)
        or sheet.number_like(index - 1)
        or (sheet.is_mark(index - 1, "-") and sheet.number_like(index - 2))
    ):
        return None  # "2-1/2 hrs"
    if month > 12:
        month, day = day, month
    return (month, day, index + 3) if month <= 12 else None


def _day_alone(sheet: Sheet, index: int) -> Found:
    """ "the 14th", "the 14", "el 14", "14th", "the fourteenth"; "the third" may be the third task."""
    marker = sheet.at("time.date", index)
    at = marker.end if marker else index
    word = sheet.at("nth", at)
    if marker and word and int(word.value) > 5 and _stands_alone(sheet, word.end):
        return None, int(word.value), word.end
    day = _digits(sheet, at, 31)
    if day is None:
        return None
    ended = at + 1 < len(sheet.tokens) and sheet.tokens[at + 1].glued and sheet.words[at + 1] in ORDINAL_ENDS
    if not (ended or marker) or (not ended and _counts(sheet, at + 1)):
        return None
    if marker is None and not _stands_alone(sheet, at + 1 + ended):
        return None
    return None, day, at + 1 + ended


def _stands_alone(sheet: Sheet, index: int) -> bool:
    """Whether no noun follows that the ordinal would belong to ("1st week")."""
    return index >= len(sheet.tokens) or sheet.tokens[index].kind != "word" or sheet.within(index, "word.after_date")


def _counts(sheet: Sheet, index: int) -> bool:
    return sheet.at("unit", index) is not None or sheet.at("crop", index) is not None


def _nearest(today: date, month: int | None, day: int, past: bool) -> date | None:
    """The next such date, today included, or the last one."""
    step = -1 if past else 1
    year, at = today.year, month or today.month
    for _ in range(15):
        if day <= calendar.monthrange(year, at)[1]:
            found = date(year, at, day)
            if (found <= today) if past else (found >= today):
                return found
        if month:
            year += step
        else:
            year, at = year + (at + step - 1) // 12, (at + step - 1) % 12 + 1
    return None


def day_of(today: date, month: int, day: int) -> date | None:
    """The next such date, today included; None when the month has no such day."""
    return _nearest(today, month, day, past=False)


def last_of_month(today: date, month: int) -> date:
    """The last day of the next such month, the running one included."""
    year = today.year + (month < today.month)
    return date(year, month, calendar.monthrange(year, month)[1])


def said_day(clause: Clause, sent: datetime, past: bool = False) -> date | None:
    """The first day a clause names, today and tomorrow included."""
    index = clause.start
    while index < clause.end:
        read = day_at(clause.sheet, index, sent, past)
        if read and read[1] <= clause.end:
            return read[0].date
        index += 1
    return None


def said_period(clause: Clause) -> str | None:
    """The period a question is about (one of core's PERIODS), the longest phrase first."""
    spans = [
        one for one in clause.spans("period") if one.value != "tomorrow" or not _is_part_of_day(clause.sheet, one.start)
    ]
    if not spans:
        return None
    value: str = max(spans, key=lambda span: span.end - span.start).value
    return value
