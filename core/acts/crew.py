"""When people can come, and their answers about shifts."""

from __future__ import annotations

from collections.abc import Sequence

from core.acts import standins
from core.acts.scene import Scene
from core.books.crew import coming, said_since, shifts_of
from core.books.ledger import Writing
from core.books.tables import Availability, Shift, ShiftPlace
from core.notes import Busy, Free, ShiftAnswer, Window
from core.outcome import News, Outcome, fact


def free(note: Free, scene: Scene) -> Outcome:
    """Somebody can come; shifts of theirs within those hours that they had given up are theirs again."""
    writing = scene.enter(note)
    _keep(note, scene, writing, free=True)
    back = [one for one in _own(scene, given_up=True) if _is_meant(scene, note, one)]
    for shift in back:
        _answer(scene, writing, shift, answer="yes")
        standins.call_off(scene, writing, shift)
    said = fact("free", windows=note.windows, weekly=note.weekly, until=note.until)
    spans = tuple(fact("shift_span", span=(shift.starts_at, shift.ends_at)) for shift in back)
    remarks = (fact("back_on", shifts=spans),) if spans else ()
    return Outcome((said,), remarks, entry=writing.n, news=tuple(_news(scene, shift, "back") for shift in back))


def _own(scene: Scene, *, given_up: bool = False) -> Sequence[Shift]:
    """The sender's coming shifts, or those of them that they said no to."""
    who = scene.told.whom or 0
    return shifts_of(scene.ledger, who, scene.told.said_at, scene.vocabulary.zone, given_up=given_up)


def busy(note: Busy, scene: Scene) -> Outcome:
    """Somebody cannot come; shifts of theirs that lie within those hours are given up with it."""
    writing = scene.enter(note)
    _keep(note, scene, writing, free=False)
    given_up = [one for one in _own(scene) if _is_meant(scene, note, one)]
    for shift in given_up:
        _answer(scene, writing, shift, answer="no")
    sought = [shift for shift in given_up if standins.seek(scene, writing, shift)]
    spans = tuple(fact("shift_span", span=(shift.starts_at, shift.ends_at)) for shift in given_up)
    said = fact("busy", windows=note.windows, weekly=note.weekly, until=note.until)
    remarks = [fact("given_up", shifts=spans)] if spans else []
    remarks += [fact("stand_in_sought")] if sought else []
    news = tuple(_news(scene, shift, "no") for shift in given_up if shift not in sought)
    return Outcome((said,), tuple(remarks), entry=writing.n, news=news)


def _keep(note: Free | Busy, scene: Scene, writing: Writing, *, free: bool) -> None:
    who = scene.told.whom
    zone = scene.vocabulary.zone
    for window in note.windows:
        start, end = window.start.replace(tzinfo=zone), window.end.replace(tzinfo=zone)
        writing.record(Availability, person_id=who, free=free, starts_at=start, ends_at=end, until=note.until)
    for week in note.weekly:
        writing.record(
            Availability, person_id=who, free=free, day=week.day, start=week.start, end=week.end, until=note.until
        )


def _is_meant(scene: Scene, note: Free | Busy, shift: Shift) -> bool:
    """Whether a shift lies in the hours said, and its person has not spoken of it since (texts may come in late)."""
    return any(_touches(scene, window, shift) for window in note.windows) and not _spoke_since(scene, shift)


def _spoke_since(scene: Scene, shift: Shift) -> bool:
    return said_since(scene.ledger, shift, scene.told.whom or 0, scene.told.said_at)


def _touches(scene: Scene, window: Window, shift: Shift) -> bool:
    zone = scene.vocabulary.zone
    return window.start.replace(tzinfo=zone) < shift.ends_at and shift.starts_at < window.end.replace(tzinfo=zone)


def shift(note: ShiftAnswer, scene: Scene) -> Outcome:
    """An answer about a shift the sender has, or was asked to step in on: yes, no, late or swap.

    For a place that is given up a stand-in is looked for; the coordinator hears how that ended. What changes nothing of
    who comes is told at once to those it concerns.

    An answer that came in late gives way to what its sender has said of the shift since.

    Raises:
        Refused: "no_such_shift", where the sender has no place on it and was not asked.
    """
    row = scene.ledger.session.get(Shift, (scene.ledger.farm_id, note.shift))
    key = (scene.ledger.farm_id, note.shift, scene.told.whom)
    if row is None or scene.ledger.session.get(ShiftPlace, key) is None:
        return standins.answer(note, scene)
    if _spoke_since(scene, row):
        return Outcome(remarks=(fact("shift_newer_word", span=(row.starts_at, row.ends_at)),))
    answer = note.answer or "yes"
    writing = scene.enter(note)
    _answer(scene, writing, row, answer=answer, minutes=note.minutes)
    said = fact(f"shift_{answer}", span=(row.starts_at, row.ends_at), minutes=note.minutes)
    if answer in ("no", "swap"):
        if standins.seek(scene, writing, row, swap=answer == "swap"):
            return Outcome((said,), (fact("stand_in_sought"),), entry=writing.n)
    else:
        standins.call_off(scene, writing, row)
    news = () if answer == "yes" else (_news(scene, row, answer, note.minutes), *_late(scene, row, note))
    return Outcome((said,), entry=writing.n, news=news)


def _answer(scene: Scene, writing: Writing, shift: Shift, **values: object) -> None:
    writing.put(ShiftPlace, {"shift": shift.id, "person_id": scene.told.whom}, **values)


def _news(scene: Scene, shift: Shift, answer: str, minutes: float | None = None) -> News:
    """What the coordinator hears of it, with how many are left of how many needed."""
    return News(
        fact(
            f"news_shift_{answer}",
            who=scene.name,
            span=(shift.starts_at, shift.ends_at),
            minutes=minutes,
            left=len(coming(scene.ledger, shift.id)),
            needed=shift.needed,
        ),
        role="coordinator",
    )


def _late(scene: Scene, shift: Shift, note: ShiftAnswer) -> tuple[News, ...]:
    """Those on the shift are told when somebody will be late."""
    if note.answer != "late":
        return ()
    told = fact("news_late", who=scene.name, span=(shift.starts_at, shift.ends_at), minutes=note.minutes)
    there = coming(scene.ledger, shift.id)
    return tuple(News(told, person_id=who) for who in there if who != scene.told.whom)
