"""One stretch of time as said, and the windows on dates or weeks that it means."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from core.notes import DAYS, WeeklyWindow, Window
from service.understanding.sheet import Sheet
from service.understanding.times.days import Day

Hours = tuple[time, time]


@dataclass(slots=True)
class Stretch:
    """Days with the hours said of them. `weekly` when it is said of every such day, up to and including `until`.

    `vague` when it may or may not hold its last day ("gone till monday"); `opens` when it has no last day at all
    ("away starting friday").
    """

    days: list[Day] = field(default_factory=list)
    hours: list[Hours] = field(default_factory=list)
    parts: list[str] = field(default_factory=list)
    weekly: bool = False
    until: date | None = None
    excepted: list[Day] = field(default_factory=list)
    shift_weeks: int = 0
    vague: bool = False
    opens: bool = False

    @property
    def empty(self) -> bool:
        """Whether no time at all was said."""
        return not (self.days or self.hours or self.parts or self.vague)

    def all_hours(self, sheet: Sheet) -> list[Hours]:
        """The hours meant: those said, else the part of the day, else as long as the farm is open."""
        if self.hours:
            return self.hours
        parts = sheet.vocabulary.day_parts
        whole = (sheet.vocabulary.opens, sheet.vocabulary.closes)
        return list(dict.fromkeys(parts.get(one, whole) for one in self.parts)) or [whole]

    def windows(self, sheet: Sheet, sent: datetime) -> tuple[Window, ...]:
        """The stretch as windows on dates; today's hours that have passed mean the same day next week."""
        gone = {day.date for day in self.excepted if day.weekday is None}
        gone_weekdays = {day.weekday for day in self.excepted}
        found: list[Window] = []
        for day in self.days:
            for start, end in self.all_hours(sheet):
                on = day.date + timedelta(weeks=self.shift_weeks if day.weekday is not None else 0)
                if on in gone or on.weekday() in gone_weekdays:
                    continue
                if day.weekday is not None and datetime.combine(on, end) <= sent:
                    on += timedelta(days=7)
                if on < sent.date():
                    continue
                found.append(Window(datetime.combine(on, start), datetime.combine(on, end)))
        return tuple(dict.fromkeys(found))

    def weekly_windows(self, sheet: Sheet) -> tuple[WeeklyWindow, ...]:
        """The stretch as windows of every week."""
        gone = {day.weekday for day in self.excepted}
        found = (
            WeeklyWindow(DAYS[day.weekday if day.weekday is not None else day.date.weekday()], start, end)
            for day in self.days
            if day.weekday not in gone or day.weekday is None
            for start, end in self.all_hours(sheet)
        )
        return tuple(dict.fromkeys(found))
