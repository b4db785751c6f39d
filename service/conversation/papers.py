"""What is asked of the office in a few fixed words: a calendar address, a letter on hours, hours to be approved.

The words are data (`heard` of each language's phrasing.toml); a name, where one belongs to it, comes last.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, timedelta

from core.books.hours import unapproved, worked_rows
from core.books.people import crew
from core.books.tables import Person
from core.calendar import period_days
from core.errors import Refused
from core.hours import counted
from core.notes import ApproveHours
from core.outcome import fact
from core.people import first_name
from core.roles import may
from service import links
from service.conversation.desk import Desk
from service.conversation.pending import Waiting
from service.conversation.recording import Recorder
from service.segments import fold
from service.words import heard

LETTER_LASTS = timedelta(days=7)
MOST_WAITING = 5
"""People whose hours wait that one text names."""

EVERYBODY = ("all", "everyone", "everybody", "todas", "todos")


def asked_of_office(desk: Desk) -> bool:
    """Whether the text asks for one of these; it is answered then."""
    said = " ".join(re.findall(r"[^\W_]+", fold(desk.inbound.body).casefold()))
    for kind, answer in REQUESTS.items():
        for phrase in heard(kind):
            if said == phrase or (kind in WITH_NAME and said.startswith(f"{phrase} ")):
                return answer(desk, said.removeprefix(phrase).strip())
    return False


def _own_calendar(desk: Desk, _: str) -> bool:
    desk.say(fact("calendar_address", address=_calendar_address(desk, {"person": desk.person.id})))
    return True


def _new_calendar(desk: Desk, _: str) -> bool:
    links.take_back(desk.session, desk.farm.id, "calendar", desk.person.id)
    desk.say(fact("calendar_renewed", address=_calendar_address(desk, {"person": desk.person.id})))
    return True


def _farm_calendar(desk: Desk, _: str) -> bool:
    if not _is_allowed(desk):
        return True
    desk.say(fact("calendar_address_farm", address=_calendar_address(desk, {})))
    return True


def _calendar_address(desk: Desk, about: dict[str, int]) -> str:
    token = links.issue(desk.session, desk.farm.id, "calendar", about, person_id=desk.person.id, now=desk.now)
    return links.address(f"/calendar/{token}.ics")


def _letter(desk: Desk, name: str) -> bool:
    """A letter on the hours of this year so far, and in its first weeks on those of the last."""
    if not name or not _is_allowed(desk):
        return bool(name)
    person = _named(desk, name)
    if person is None:
        return _unknown(desk, name)
    first, last = _letter_days(desk.today)
    about = {"person": person.id, "first": first.isoformat(), "last": last.isoformat()}
    expires = desk.now + LETTER_LASTS
    token = links.issue(
        desk.session, desk.farm.id, "letter", about, person_id=desk.person.id, now=desk.now, expires_at=expires
    )
    kind = "letter_minor" if not person.grown_up else "letter"
    name, address = first_name(person.name), links.address(f"/letters/{token}.pdf")
    desk.say(fact(kind, name=name, first=first, last=last, address=address, days=LETTER_LASTS.days))
    return True


def _letter_days(today: date) -> tuple[date, date]:
    january = today.replace(month=1, day=1)
    return (january.replace(year=today.year - 1), january - timedelta(days=1)) if today.month == 1 else (january, today)


def _waiting(desk: Desk, _: str) -> bool:
    if not _is_allowed(desk):
        return True
    waiting: dict[str, float] = {}
    for row, person in unapproved(desk.ledger):
        if person.id != desk.person.id:
            waiting[first_name(person.name)] = waiting.get(first_name(person.name), 0) + row.minutes
    if not waiting:
        desk.say(fact("no_hours_waiting"))
        return True
    shown = tuple(
        fact("hours_of", name=name, minutes=minutes) for name, minutes in list(waiting.items())[:MOST_WAITING]
    )
    desk.say(fact("hours_waiting", hours=shown, more=len(waiting) - len(shown) or None, name=next(iter(waiting))))
    return True


def _approve(desk: Desk, name: str) -> bool:
    """To approve the hours of one person, or of everybody; their name is asked of nobody."""
    if name in EVERYBODY:
        Recorder(desk).work_off([Waiting(ApproveHours())])
        return True
    person = _named(desk, name) if name else None
    if person is None:
        return _unknown(desk, name) if name else _waiting(desk, name)
    Recorder(desk).work_off([Waiting(ApproveHours(who=person.handle))])
    return True


def _hours_of(desk: Desk, name: str) -> bool:
    """Another person's hours, for leads: of this month and of the year."""
    person = _named(desk, name) if name else None
    if person is None or person.id == desk.person.id or not may(desk.person.role, ApproveHours.act):
        return False  # one's own hours are a question like any other, and "june" is a month besides
    values = {}
    for period in ("month", "season"):
        days = period_days(period, desk.today)
        counted_days = counted(worked_rows(desk.ledger, days.first, days.last, person.id)).get(person.id, [])
        values[period] = sum(day.minutes for day in counted_days)
    desk.say(fact("hours_of_person", name=first_name(person.name), month=values["month"], season=values["season"]))
    return True


def _is_allowed(desk: Desk) -> bool:
    try:
        desk.scene().require(ApproveHours.act)
    except Refused as refused:
        desk.say(fact(f"refused_{refused.kind}", **refused.values))
        return False
    return True


def _named(desk: Desk, name: str) -> Person | None:
    people = [one for one in crew(desk.ledger) if name in (one.handle, *_ways(one.name.casefold()))]
    return people[0] if len(people) == 1 else None


def _ways(name: str) -> tuple[str, str]:
    return name, first_name(name)


def _unknown(desk: Desk, name: str) -> bool:
    """Whether it was said that nobody has the name; of several words it is no name, and something else is meant."""
    if len(name.split()) > 1:
        return False
    desk.say(fact("refused_no_such_person", name=name))
    return True


REQUESTS: dict[str, Callable[[Desk, str], bool]] = {
    "own_calendar": _own_calendar,
    "new_calendar": _new_calendar,
    "farm_calendar": _farm_calendar,
    "letter_for": _letter,
    "hours_waiting": _waiting,
    "approve_hours": _approve,
    "hours_of": _hours_of,
}
"""What is asked for -> who answers it; the keys are those of `heard`."""

WITH_NAME = frozenset({"letter_for", "approve_hours", "hours_of"})
