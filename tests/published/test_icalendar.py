"""The calendar feed against RFC 5545, read back by a reference parser, on both sides of both clock changes."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar

from service.feeds.calendar import Entry, calendar

CHICAGO = ZoneInfo("America/Chicago")
CHANGED = datetime(2026, 3, 1, 12, tzinfo=UTC)


def shift(day, number=0, **other):
    start = datetime(2026, *day, 9, tzinfo=CHICAGO).astimezone(UTC)
    values = {"off": False, "changes": 1, "changed_at": CHANGED} | other
    return Entry(f"s{day}{number}", start, start + timedelta(hours=3), "Shift", "Text us", **values)


def read(*entries, zone=CHICAGO, whose="june"):
    written = calendar("My shifts", "The farm", zone, "farm", entries, whose)
    return written, Calendar.from_ical(written)


WEEKS = [(2, 28), (3, 7), (3, 14), (10, 24), (10, 31), (11, 7)]
"""Saturdays around 8 March and 1 November 2026, on which the clocks change in Chicago (15 U.S.C. 260a)."""


@pytest.mark.parametrize("day", WEEKS)
def test_a_shift_at_nine_is_at_nine_on_both_sides_of_a_clock_change(day):
    _, read_back = read(*map(shift, WEEKS))
    starts = [event["dtstart"].dt for event in read_back.events]
    (start,) = [one for one in starts if (one.month, one.day) == day]
    assert (start.hour, start.tzinfo.utcoffset(start)) == (9, datetime(2026, *day, 9, tzinfo=CHICAGO).utcoffset())


def test_the_zone_rules_go_with_the_shifts():
    """RFC 5545, 3.6.5: a VTIMEZONE must be there for each TZID; both standard and daylight time are in it."""
    written, read_back = read(*map(shift, WEEKS))
    (zone,) = read_back.timezones
    assert zone["tzid"] == "America/Chicago"
    assert {part.name for part in zone.subcomponents} == {"STANDARD", "DAYLIGHT"}
    assert b"DTSTART;TZID=America/Chicago:" in written


def test_everything_an_event_must_have_is_there():
    """RFC 5545, 3.6 and 3.6.1: PRODID and VERSION of the calendar; UID, DTSTAMP (in UTC) and DTSTART of an event."""
    _, read_back = read(shift((5, 9)))
    assert read_back["version"] == "2.0"
    assert read_back["prodid"]
    (event,) = read_back.events
    assert event["uid"]
    assert event["dtstamp"].dt.utcoffset() == timedelta(0)
    assert event["dtend"].dt - event["dtstart"].dt == timedelta(hours=3)


def test_lines_are_folded_at_75_octets_and_end_in_crlf():
    """RFC 5545, 3.1."""
    entry = Entry("s", CHANGED, CHANGED + timedelta(hours=1), 'Ñandú, "late"; \\ ' * 12, "x" * 300, False, 1, CHANGED)
    written, read_back = read(entry)
    lines = written.split(b"\r\n")
    assert b"\n" not in written.replace(b"\r\n", b"")
    assert max(map(len, lines)) <= 75
    assert str(read_back.events[0]["summary"]) == entry.title


def test_a_shift_keeps_its_uid_when_it_changes_and_its_sequence_grows():
    """RFC 5545, 3.8.4.7 and 3.8.7.4."""
    _, before = read(shift((5, 9)))
    _, after = read(shift((5, 9), changes=2, off=True))
    assert before.events[0]["uid"] == after.events[0]["uid"]
    assert (before.events[0]["sequence"], after.events[0]["sequence"]) == (1, 2)


def test_a_shift_given_up_is_cancelled_and_takes_up_no_time():
    """RFC 5545, 3.8.1.11 and 3.8.2.7."""
    _, read_back = read(shift((5, 9), off=True), shift((5, 10)))
    assert [event["status"] for event in read_back.events] == ["CANCELLED", "CONFIRMED"]
    assert [event["transp"] for event in read_back.events] == ["TRANSPARENT", "OPAQUE"]


def test_two_people_and_the_farm_have_their_own_uid_for_the_same_shift():
    uids = {read(shift((5, 9)), whose=whose)[1].events[0]["uid"] for whose in ("june", "walt", "")}
    assert len(uids) == 3


def test_a_calendar_with_no_shifts_is_still_a_calendar():
    _, read_back = read()
    assert read_back.events == []
