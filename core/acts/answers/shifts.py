"""When am I on, who is coming, and how many hours it was."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from core.acts.picture import on_shift, shifts_on
from core.acts.scene import Scene
from core.books import crew
from core.books.hours import worked_rows
from core.books.tables import Shift
from core.calendar import Days, asked_days, local_day
from core.day import OnShift, ShiftPicture
from core.hours import counted
from core.notes import Ask
from core.outcome import Fact, Outcome, fact

MOST_SHIFTS = 4


def shift(note: Ask, scene: Scene) -> Outcome:
    """The sender's next shift and who is on it with them; for a day or a period, whether they are on and when."""
    ahead = _own(scene)
    if note.date is None and note.period is None:
        return Outcome((_next(ahead, scene),))
    days = asked_days(note, scene.day, "week")
    within = [one for one in ahead if days.first <= local_day(one.starts_at, scene.vocabulary.zone) <= days.last]
    if not within:
        return Outcome((fact("not_on", **when(days)), _next(ahead, scene)))
    if len(within) == 1:
        return Outcome((_on(within[0], scene),))
    spans = tuple(fact("shift_when", span=(one.starts_at, one.ends_at)) for one in within[:MOST_SHIFTS])
    return Outcome((fact("your_shifts", shifts=spans),))


def _own(scene: Scene) -> Sequence[Shift]:
    if scene.told.person_id is None:
        return ()
    return crew.shifts_of(scene.ledger, scene.told.person_id, scene.told.said_at, scene.vocabulary.zone)


def _next(ahead: Sequence[Shift], scene: Scene) -> Fact:
    return _on(ahead[0], scene) if ahead else fact("no_shift_ahead")


def _on(shift: Shift, scene: Scene) -> Fact:
    others = [one.name for one in on_shift(scene.ledger, shift).coming if one.person_id != scene.told.person_id]
    return fact("your_shift", span=(shift.starts_at, shift.ends_at), others=others)


def when(days: Days) -> dict[str, object]:
    """The days asked about as the words room says them: one day, or a period by its name."""
    return {"period": days.name, "day": None if days.name else days.first}


def roster(note: Ask, scene: Scene) -> Outcome:
    """Who comes on a day, by first name, or in a week; where none is named, on the next day with a shift."""
    if note.date is None and note.period in ("week", "next_week"):
        return _roster_of_week(asked_days(note, scene.day, "week"), scene)
    day = asked_days(note, scene.day, "today").first
    if note.date is None and note.period not in ("today", "tomorrow"):
        coming = crew.next_shift(scene.ledger, scene.told.said_at)
        day = local_day(coming.starts_at, scene.vocabulary.zone) if coming else day
    if day in crew.closed_days(scene.ledger, day, day):
        return Outcome((fact("day_closed", day=day),))
    shifts = shifts_on(scene.ledger, scene.vocabulary, day)
    if not shifts:
        return Outcome((fact("no_shifts", day=day),))
    return Outcome((fact("roster", day=day, shifts=tuple(map(shift_fact, shifts))),))


def _roster_of_week(days: Days, scene: Scene) -> Outcome:
    """Every shift of a week that is not over, each in one line."""
    first, last = max(days.first, scene.day), days.last
    closed = crew.closed_days(scene.ledger, first, last)
    open_days = [day for n in range((last - first).days + 1) if (day := first + timedelta(days=n)) not in closed]
    shifts = [one for day in open_days for one in shifts_on(scene.ledger, scene.vocabulary, day)]
    lines = tuple(
        fact(
            "roster_day_shift" if one.coming else "roster_day_nobody",
            span=(one.starts_at, one.ends_at),
            people=tuple(_who(each, marked=False) for each in one.coming),
            missing=one.missing or None,
        )
        for one in shifts
    )
    return Outcome((fact("roster_week", day=days.first, shifts=lines) if lines else fact("no_shifts", day=first),))


def shift_fact(shift: ShiftPicture, *, marked: bool = False) -> Fact:
    """A shift in one line: its hours, who comes, and how many are missing; `marked` shows who has not answered."""
    return fact(
        "roster_shift" if shift.coming else "roster_nobody",
        span=(shift.starts_at, shift.ends_at),
        people=tuple(_who(one, marked) for one in shift.coming),
        missing=shift.missing or None,
    )


def _who(one: OnShift, marked: bool) -> Fact:
    kind = {"swap": "who_swaps", "": "who_silent" if marked else "who"}.get(one.answer, "who")
    return fact(kind, name=one.name, minutes=one.minutes)


def hours(note: Ask, scene: Scene) -> Outcome:
    """The sender's hours; a coordinator is told the crew's total besides. Nobody hears another person's hours."""
    days = asked_days(note, scene.day, "month")
    people = counted(worked_rows(scene.ledger, days.first, days.last))
    worked = {person_id: sum(day.minutes for day in days_worked) for person_id, days_worked in people.items()}
    own = fact("your_hours", minutes=worked.get(scene.told.person_id or 0, 0.0), **when(days))
    if scene.actor is None or scene.actor.role != "coordinator":
        return Outcome((own,))
    return Outcome((fact("crew_hours", minutes=sum(worked.values()), n=len(worked), **when(days)), own))
