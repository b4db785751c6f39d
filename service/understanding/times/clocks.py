"""Clock times: one hour as written, and the hour of the day that it means."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import time

from service.understanding.sheet import Sheet


@dataclass(frozen=True, slots=True)
class Clock:
    """An hour as said: on a dial of twelve unless `half` ("am", "pm") or the hour itself tells the half of the day."""

    hour: int
    minute: int
    half: str | None = None
    exact: bool = False

    def as_time(self, hint: str | None = None) -> time:
        """The hour of the day; with no half said, the one the farm is open at: 8 to 12 before noon, 1 to 7 after."""
        half = self.half or hint
        hour = self.hour
        if self.exact or hour > 12 or hour == 0:
            return time(hour % 24, self.minute)
        if half == "am":
            return time(hour % 12, self.minute)
        if half == "pm":
            return time(hour % 12 + 12, self.minute)
        return time(hour % 12 + 12 if hour < 8 or hour == 12 else hour, self.minute)


def clock_at(sheet: Sheet, index: int, end: int) -> tuple[Clock, int, bool] | None:
    """The clock time that begins at a token: (clock, end, whether it cannot be anything else)."""
    if index >= end:
        return None
    return _named(sheet, index) or _said_before(sheet, index, end) or _digits_or_words(sheet, index, end)


def _named(sheet: Sheet, index: int) -> tuple[Clock, int, bool] | None:
    opens, closes = sheet.vocabulary.opens, sheet.vocabulary.closes
    named = (("time.noon", 12, 0), ("time.close", closes.hour, closes.minute), ("time.open", opens.hour, opens.minute))
    for family, hour, minute in named:
        span = sheet.at(family, index)
        if span:
            return Clock(hour, minute, exact=True), span.end, family == "time.noon"
    return None


def _said_before(sheet: Sheet, index: int, end: int) -> tuple[Clock, int, bool] | None:
    """ "half past 4", "quarter to five"."""
    for family, minutes in (("time.half", 30), ("time.quarter_past", 15), ("time.quarter_to", -15)):
        span = sheet.at(family, index)
        hour = _hour(sheet, span.end) if span and span.end < end else None
        if span and hour and hour[0].minute == 0:
            clock, after = _with_half(sheet, _shifted(hour[0], minutes), hour[1])
            return clock, after, True
    return None


def _shifted(clock: Clock, minutes: int) -> Clock:
    if minutes >= 0:
        return Clock(clock.hour, minutes, clock.half)
    return Clock(clock.hour - 1 or 12, 60 + minutes, clock.half)


def _digits_or_words(sheet: Sheet, index: int, end: int) -> tuple[Clock, int, bool] | None:
    read = _hour(sheet, index)
    if read is None:
        return None
    clock, after = read
    sure = ":" in sheet.tokens[index].text
    for family, minutes in (("time.and_half", 30), ("time.and_quarter", 15), ("time.less_quarter", -15)):
        span = sheet.at(family, after)
        if span:
            clock, after, sure = _shifted(clock, minutes), span.end, True
    oclock = sheet.at("time.oclock", after)
    if oclock:
        after, sure = oclock.end, sure or not sheet.at("time.about", oclock.start)
    with_half, stop = _with_half(sheet, clock, after)
    return with_half, stop, sure or stop > after


def _with_half(sheet: Sheet, clock: Clock, index: int) -> tuple[Clock, int]:
    span = sheet.at("meridiem", index)
    glued_letter = index < len(sheet.words) and sheet.words[index] in ("a", "p") and sheet.tokens[index].glued
    if glued_letter and sheet.number_like(index - 1) and clock.minute % 15 == 0:
        return Clock(clock.hour, clock.minute, sheet.words[index] + "m"), index + 1
    if span is None or clock.hour > 12:
        return clock, index
    return Clock(clock.hour, clock.minute, span.value), span.end


def _hour(sheet: Sheet, index: int) -> tuple[Clock, int] | None:
    """Digits ("4", "430", "16:00") or a number word that can be an hour."""
    if index >= len(sheet.tokens):
        return None
    token = sheet.tokens[index]
    if token.kind == "number":
        clock = _from_digits(token.text)
        return (clock, index + 1) if clock else None
    word = sheet.at("number", index)
    if word is None or not 1 <= int(word.value) <= 12:
        return None
    minutes = sheet.at("number", word.end)
    if minutes and int(minutes.value) in (10, 15, 20, 30, 40, 45, 50):
        return Clock(int(word.value), int(minutes.value)), minutes.end
    return Clock(int(word.value), 0), word.end


def _from_digits(text: str) -> Clock | None:
    hour, minute = text, "0"
    if ":" in text:
        hour, _, minute = text.partition(":")
    elif text.isdigit() and len(text) in (3, 4):
        hour, minute = text[:-2], text[-2:]
    elif "." in text and len(text) >= 4:
        hour, _, minute = text.partition(".")
    if not (hour.isdigit() and minute.isdigit()) or int(hour) > 23 or int(minute) > 59 or len(hour) > 2:
        return None
    return Clock(int(hour), int(minute), exact=len(hour) == 2 and hour[0] == "0")


def mark_clocks(sheet: Sheet) -> None:
    """Mark the clock times that cannot be anything else ("4pm", "10:30", "noon"), so that no count is read in them."""
    index = 0
    while index < len(sheet.tokens):
        read = clock_at(sheet, index, len(sheet.tokens))
        if read is None or not read[2]:
            index += 1
            continue
        clock, end, _ = read
        sheet.mark("clock", index, end, clock)
        sheet.taken.update(range(index, end))
        index = end
