"""When people can come, their answers about shifts, arriving and leaving, and the hours they gave."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from sqlmodel import col, select

from core.acts.scene import Scene
from core.books.crew import shifts_of
from core.books.ledger import Writing
from core.books.tables import Availability, Shift, ShiftPlace, Visit, WorkedHours
from core.errors import Refused
from core.notes import Arrive, Busy, Free, Hours, Leave, ShiftAnswer, Window
from core.outcome import News, Outcome, fact

LONG_DAY_MIN = 12 * 60
"""More hours than this on one day are doubted. Common practice, no source."""


def free(note: Free, scene: Scene) -> Outcome:
    """Somebody can come; shifts of theirs within those hours that they had given up are theirs again."""
    writing = scene.enter(note)
    _keep(note, scene, writing, free=True)
    back = [one for one in _own(scene, given_up=True) if any(_touches(scene, window, one) for window in note.windows)]
    for shift in back:
        _answer(scene, writing, shift, answer="yes")
    said = fact("free", windows=note.windows, weekly=note.weekly, until=note.until)
    spans = tuple(fact("shift_span", span=(shift.starts_at, shift.ends_at)) for shift in back)
    remarks = (fact("back_on", shifts=spans),) if spans else ()
    return Outcome((said,), remarks, entry=writing.n, news=tuple(_news(scene, shift, "back") for shift in back))


def _own(scene: Scene, *, given_up: bool = False) -> Sequence[Shift]:
    """The sender's coming shifts, or those of them that they said no to."""
    who = scene.told.person_id or 0
    return shifts_of(scene.ledger, who, scene.told.said_at, scene.vocabulary.zone, given_up=given_up)


def busy(note: Busy, scene: Scene) -> Outcome:
    """Somebody cannot come; shifts of theirs that lie within those hours are given up with it."""
    writing = scene.enter(note)
    _keep(note, scene, writing, free=False)
    given_up = [one for one in _own(scene) if any(_touches(scene, window, one) for window in note.windows)]
    for shift in given_up:
        _answer(scene, writing, shift, answer="no")
    spans = tuple(fact("shift_span", span=(shift.starts_at, shift.ends_at)) for shift in given_up)
    said = fact("busy", windows=note.windows, weekly=note.weekly, until=note.until)
    remarks = (fact("given_up", shifts=spans),) if spans else ()
    news = tuple(_news(scene, shift, "no") for shift in given_up)
    return Outcome((said,), remarks, entry=writing.n, news=news)


def _keep(note: Free | Busy, scene: Scene, writing: Writing, *, free: bool) -> None:
    who = scene.told.person_id
    zone = scene.vocabulary.zone
    for window in note.windows:
        start, end = window.start.replace(tzinfo=zone), window.end.replace(tzinfo=zone)
        writing.record(Availability, person_id=who, free=free, starts_at=start, ends_at=end, until=note.until)
    for week in note.weekly:
        writing.record(
            Availability, person_id=who, free=free, day=week.day, start=week.start, end=week.end, until=note.until
        )


def _touches(scene: Scene, window: Window, shift: Shift) -> bool:
    zone = scene.vocabulary.zone
    return window.start.replace(tzinfo=zone) < shift.ends_at and shift.starts_at < window.end.replace(tzinfo=zone)


def shift(note: ShiftAnswer, scene: Scene) -> Outcome:
    """An answer about a shift the sender has: yes, no, late or swap. Those it concerns are told.

    Raises:
        Refused: "no_such_shift", where the sender has no place on it.
    """
    key = {"shift": note.shift, "person_id": scene.told.person_id}
    place = scene.ledger.session.get(ShiftPlace, {"farm_id": scene.ledger.farm_id, **key})
    row = scene.ledger.session.get(Shift, (scene.ledger.farm_id, note.shift))
    if place is None or row is None:
        raise Refused("no_such_shift")
    answer = note.answer or "yes"
    writing = scene.enter(note)
    _answer(scene, writing, row, answer=answer, minutes=note.minutes)
    said = fact(f"shift_{answer}", span=(row.starts_at, row.ends_at), minutes=note.minutes)
    news = (
        () if answer == "yes" else (_news(scene, row, answer, note.minutes), *_others(scene, row, answer, note.minutes))
    )
    return Outcome((said,), entry=writing.n, news=news)


def _answer(scene: Scene, writing: Writing, shift: Shift, **values: object) -> None:
    writing.put(ShiftPlace, {"shift": shift.id, "person_id": scene.told.person_id}, **values)


def _news(scene: Scene, shift: Shift, answer: str, minutes: float | None = None) -> News:
    """What the coordinator hears of it, with how many are left of how many needed."""
    return News(
        fact(
            f"news_shift_{answer}",
            who=scene.name,
            span=(shift.starts_at, shift.ends_at),
            minutes=minutes,
            left=len(coming(scene, shift)),
            needed=shift.needed,
        ),
        role="coordinator",
    )


def _others(scene: Scene, shift: Shift, answer: str, minutes: float | None) -> tuple[News, ...]:
    """Those on the shift are told when somebody will be late."""
    if answer != "late":
        return ()
    told = fact("news_late", who=scene.name, span=(shift.starts_at, shift.ends_at), minutes=minutes)
    return tuple(News(told, person_id=who) for who in coming(scene, shift) if who != scene.told.person_id)


def coming(scene: Scene, shift: Shift) -> Sequence[int]:
    """The persons on a shift who have not said no."""
    query = select(ShiftPlace.person_id).where(
        ShiftPlace.farm_id == scene.ledger.farm_id, ShiftPlace.shift == shift.id, ShiftPlace.answer != "no"
    )
    return scene.ledger.session.exec(query).all()


def arrive(note: Arrive, scene: Scene) -> Outcome:
    """Somebody checks in."""
    writing = scene.enter(note)
    at = _at(note.at, scene)
    writing.record(Visit, person_id=scene.told.person_id, kind="arrive", at=at)
    return Outcome((fact("arrive", at=at, name=_first(scene)),), entry=writing.n)


def leave(note: Leave, scene: Scene) -> Outcome:
    """Somebody checks out; the time since they came that day counts as hours."""
    writing = scene.enter(note)
    at = _at(note.at, scene)
    came = _arrived(scene, at)
    writing.record(Visit, person_id=scene.told.person_id, kind="leave", at=at)
    minutes = (at - came.at).total_seconds() / 60 if came else None
    if minutes is not None:
        writing.record(WorkedHours, person_id=scene.told.person_id, minutes=minutes, on=scene.day, source="visit")
    return Outcome((fact("leave", minutes=minutes, name=_first(scene)),), entry=writing.n)


def _first(scene: Scene) -> str:
    return scene.name.split()[0] if scene.name else ""


def _at(said: datetime | None, scene: Scene) -> datetime:
    return said.replace(tzinfo=scene.vocabulary.zone) if said else scene.told.said_at


def _arrived(scene: Scene, before: datetime) -> Visit | None:
    """When the sender came today and has not left since."""
    query = (
        select(Visit)
        .where(Visit.farm_id == scene.ledger.farm_id, Visit.person_id == scene.told.person_id, col(Visit.at) <= before)
        .order_by(col(Visit.at).desc())
    )
    last = scene.ledger.session.exec(query).first()
    if last is None or last.kind != "arrive" or last.at.astimezone(scene.vocabulary.zone).date() != scene.day:
        return None
    return last


def hours(note: Hours, scene: Scene) -> Outcome:
    """Time worked, as reported."""
    minutes = float(note.minutes or 0)
    day = note.date or scene.day
    if minutes > LONG_DAY_MIN and not scene.sure:
        return Outcome(doubts=(fact("doubt_long_day", minutes=minutes, day=day),))
    writing = scene.enter(note)
    writing.record(WorkedHours, person_id=scene.told.person_id, minutes=minutes, on=day, source="said")
    return Outcome((fact("hours", minutes=minutes, day=day),), entry=writing.n)
