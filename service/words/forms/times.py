"""Days, hours, and stretches of them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time

from core.notes import DAYS, WeeklyWindow, Window
from service.words.forms.manner import Manner


def day(manner: Manner, value: date) -> str:
    """ "today", "tomorrow", "yesterday", or "Sat Nov 28"."""
    near = {0: "today", 1: "tomorrow", -1: "yesterday"}.get((value - manner.today).days)
    return manner.term(near) if near else calendar_day(manner, value)


def calendar_day(manner: Manner, value: date) -> str:
    """ "Sat Nov 28", whatever day it is."""
    names = manner.data["calendar"]
    return str(
        names["date"].format(
            weekday=names["days"][value.weekday()], month=names["months"][value.month - 1], day=value.day
        )
    )


def clock(_: Manner, value: time | datetime) -> str:
    """An hour of the farm's day: "9am", "3:30pm"."""
    half = "am" if value.hour < 12 else "pm"
    minutes = f":{value.minute:02}" if value.minute else ""
    return f"{value.hour % 12 or 12}{minutes}{half}"


def local_clock(manner: Manner, value: datetime) -> str:
    """An instant as an hour of the farm's day."""
    return clock(manner, value.astimezone(manner.vocabulary.zone))


def moment(manner: Manner, value: datetime) -> str:
    """An instant as farm-local day and hour."""
    local = value.astimezone(manner.vocabulary.zone)
    return f"{day(manner, local.date())} {clock(manner, local)}"


def hours(manner: Manner, span: tuple[time | datetime, time | datetime]) -> str:
    """From one hour to another: "9-11am", "11am-1pm"."""
    start, end = clock(manner, span[0]), clock(manner, span[1])
    return f"{start[:-2] if start[-2:] == end[-2:] else start}-{end}"


def span(manner: Manner, value: tuple[datetime, datetime]) -> str:
    """Two instants as farm-local day and hours: "Sat Nov 28 9-11am"."""
    zone = manner.vocabulary.zone
    start, end = value[0].astimezone(zone), value[1].astimezone(zone)
    return f"{day(manner, start.date())} {hours(manner, (start, end))}"


def span_hours(manner: Manner, value: tuple[datetime, datetime]) -> str:
    """Two instants as farm-local hours only."""
    zone = manner.vocabulary.zone
    return hours(manner, (value[0].astimezone(zone), value[1].astimezone(zone)))


def windows(manner: Manner, values: Sequence[Window]) -> str:
    """Stretches of time, each with its day; whole opening days by the day alone, and only so many."""
    whole = (manner.vocabulary.opens, manner.vocabulary.closes)
    said = []
    for window in values[:4]:
        all_day = (window.start.time(), window.end.time()) == whole
        said.append(
            day(manner, window.start.date()) + ("" if all_day else f" {hours(manner, (window.start, window.end))}")
        )
    more = len(values) - len(said)
    return ", ".join(said) + (f" +{more}" if more else "")


def weekly(manner: Manner, values: Sequence[WeeklyWindow]) -> str:
    """The same stretch every week: "Tue 3:30-5pm"."""
    names = manner.data["calendar"]["days"]
    whole = (manner.vocabulary.opens, manner.vocabulary.closes)
    return ", ".join(
        names[DAYS.index(one.day)]
        + ("" if (one.start, one.end) == whole else f" {hours(manner, (one.start, one.end))}")
        for one in values
    )


def age(_: Manner, minutes: float) -> str:
    """How old something is, in its largest unit: "45 min", "5 h", "3 d"."""
    if minutes < 120:
        return f"{round(minutes)} min"
    return f"{round(minutes / 60)} h" if minutes < 48 * 60 else f"{round(minutes / 60 / 24)} d"


def duration(manner: Manner, minutes: float) -> str:
    """ "2 h 15 min"."""
    whole, rest = divmod(round(minutes), 60)
    parts = ([f"{whole} h"] if whole else []) + ([f"{rest} min"] if rest or not whole else [])
    return " ".join(parts)
