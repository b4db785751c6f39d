"""A farm's shifts as one iCalendar object.

The same shift keeps its UID, and every change of it or of who comes raises its SEQUENCE, so that a calendar that
fetches again mends what it shows. Hours carry the farm's zone with its rules (VTIMEZONE), so that a shift at nine is
at nine on both sides of a clock change.

Source:
    RFC 5545, sections 3.6.1, 3.6.5, 3.8.4.7 (UID), 3.8.7.4 (SEQUENCE), 3.8.1.11 (STATUS).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event

MADE_BY = "-//Rowcall//Shifts 1.0//EN"
NAMESPACE = UUID("6f5f8f0e-6f0a-5b52-9f3c-2f9a53b4a7d1")
"""Made once, at random; UIDs follow from it, so it may not change."""

REFRESH = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Entry:
    """One shift as a calendar shows it. `changes` counts what happened to it; `changed_at` is when it last did."""

    shift: str
    starts_at: datetime
    ends_at: datetime
    title: str
    text: str
    off: bool
    changes: int
    changed_at: datetime


def calendar(name: str, place: str, zone: ZoneInfo, farm: str, entries: Sequence[Entry], whose: str) -> bytes:
    """The object a calendar fetches.

    Args:
        name: of the calendar, as it is listed.
        place: where the shifts are.
        zone: the farm's.
        farm: the farm's slug, part of each shift's UID.
        entries: the shifts.
        whose: the person's handle, or "" for the farm's own calendar; part of each shift's UID too, so that one who
            follows both sees both.
    """
    made = Calendar()
    made.add("prodid", MADE_BY)
    made.add("version", "2.0")
    made.add("method", "PUBLISH")
    made.add("x-wr-calname", name)
    made.add("refresh-interval", REFRESH, parameters={"VALUE": "DURATION"})
    for event in _events(entries, place, zone, f"{farm}/{whose}"):
        made.add_component(event)
    if entries:
        made.add_missing_timezones()
    written: bytes = made.to_ical()
    return written


def _events(entries: Iterable[Entry], place: str, zone: ZoneInfo, key: str) -> Iterable[Event]:
    for entry in entries:
        event = Event()
        event.add("uid", str(uuid5(NAMESPACE, f"{key}/{entry.shift}")))
        event.add("dtstamp", entry.changed_at)
        event.add("last-modified", entry.changed_at)
        event.add("sequence", entry.changes)
        event.add("dtstart", entry.starts_at.astimezone(zone))
        event.add("dtend", entry.ends_at.astimezone(zone))
        event.add("summary", entry.title)
        event.add("description", entry.text)
        event.add("location", place)
        event.add("status", "CANCELLED" if entry.off else "CONFIRMED")
        event.add("transp", "TRANSPARENT" if entry.off else "OPAQUE")
        yield event
