"""Places given up, and those who step in: people are asked in waves, the first yes has the place."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from core.acts.rostering import free_for
from core.acts.scene import Scene
from core.books import people
from core.books import standins as books_of
from core.books.crew import coming, shifts_of
from core.books.ledger import Ledger, Told, Writing
from core.books.tables import Farm, Shift, ShiftPlace, StandInOffer, StandInSearch
from core.errors import Refused
from core.notes import ShiftAnswer
from core.outcome import News, Outcome, fact
from core.people import first_name
from core.standins import accompanied, give_up_at, in_order, look_back, patient_until, wave

AFTERTHOUGHT = timedelta(minutes=2)
"""So long after a place was taken others may still answer by themselves. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Step:
    """What is next for the free places of a shift: from `at` on `most` of `people`, the best first, are asked.

    Where there is nobody left to ask, the search has failed.
    """

    shift: Shift
    at: datetime
    vacant: tuple[StandInSearch, ...]
    people: tuple[int, ...]
    most: int
    wave: int


def seek(scene: Scene, writing: Writing, shift: Shift, *, swap: bool = False, who: int | None = None) -> bool:
    """Look for somebody to step in for the sender (or `who`), where the shift has then too few or they want to swap."""
    enough = len(coming(scene.ledger, shift.id)) >= shift.needed
    if (enough and not swap) or scene.told.now >= give_up_at(shift.starts_at):
        return False
    key = {"shift": shift.id, "person_id": scene.told.whom if who is None else who}
    writing.put(StandInSearch, key, opened_at=scene.told.now, swap=swap, off=False)
    return True


def call_off(scene: Scene, writing: Writing, shift: Shift) -> None:
    """The sender comes after all: nobody is looked for any more."""
    search = books_of.search_of(scene.ledger, shift.id, scene.told.whom or 0)
    if search is not None and not search.off:
        writing.put(StandInSearch, {"shift": shift.id, "person_id": search.person_id}, off=True)


def answer(note: ShiftAnswer, scene: Scene) -> Outcome:
    """The word of somebody who was asked to step in. The first yes has the place; whoever comes later is thanked.

    Raises:
        Refused: "no_such_shift", where the sender was not asked.
    """
    who = scene.told.whom or 0
    shift = scene.ledger.session.get(Shift, (scene.ledger.farm_id, note.shift))
    offered = books_of.offer(scene.ledger, note.shift or "", who)
    if shift is None or offered is None:
        raise Refused("no_such_shift")
    said, span = note.answer or "yes", (shift.starts_at, shift.ends_at)
    key = {"shift": shift.id, "person_id": who}
    if said == "no":
        writing = scene.enter(note)
        writing.put(StandInOffer, key, answer="no", answered_at=scene.told.now)
        return Outcome((fact("stand_in_no", span=span),), entry=writing.n)
    vacant = books_of.vacant(scene.ledger, shift)
    if not vacant or shift.starts_at <= scene.told.now or not _fits(scene, shift):
        writing = scene.enter(note)
        writing.put(StandInOffer, key, answer="gone", answered_at=scene.told.now)
        return Outcome(remarks=(fact("stand_in_taken", span=span),), entry=writing.n)
    return _take(note, scene, shift, vacant[0])


def _take(note: ShiftAnswer, scene: Scene, shift: Shift, search: StandInSearch) -> Outcome:
    key, span = {"shift": shift.id, "person_id": scene.told.whom}, (shift.starts_at, shift.ends_at)
    writing = scene.enter(note)
    instead = {"instead_of": search.person_id}
    writing.put(StandInOffer, key, answer="yes", answered_at=scene.told.now, **instead)
    late = note.answer == "late"
    writing.put(ShiftPlace, key, answer="late" if late else "yes", minutes=note.minutes if late else None)
    if search.swap:
        writing.put(ShiftPlace, {"shift": shift.id, "person_id": search.person_id}, answer="no")
    left = len(coming(scene.ledger, shift.id))
    before = people.person(scene.ledger, search.person_id)
    filled = fact(
        "news_stand_in", who=scene.name, before=first_name(before.name), span=span, left=left, needed=shift.needed
    )
    news = [News(filled, role="coordinator")]
    if search.swap:
        news.append(News(fact("news_swapped", who=first_name(scene.name), span=span), person_id=before.id))
    return Outcome((fact("stand_in_yes", span=span),), entry=writing.n, news=tuple(news))


def _fits(scene: Scene, shift: Shift) -> bool:
    """Whether the sender can still have a place: no other shift of theirs then, and adults enough for the minors."""
    ledger = scene.ledger
    own = shifts_of(ledger, scene.told.whom or 0, scene.told.now, scene.vocabulary.zone)
    if any(one.starts_at < shift.ends_at and shift.starts_at < one.ends_at for one in own):
        return False
    there = [people.person(ledger, who) for who in {*coming(ledger, shift.id), scene.told.whom or 0}]
    adults = sum(one.grown_up for one in there)
    most = ledger.session.get_one(Farm, ledger.farm_id).minors_per_adult
    mine = people.person(ledger, scene.told.whom or 0)
    return mine.grown_up or accompanied(len(there) - adults, adults, most)


def next_step(ledger: Ledger, shift: Shift, now: datetime) -> Step | None:
    """Whom to ask next for a shift, and from when on; None where it lacks nobody.

    Others are asked once all of a wave have answered, or when it has been waited for long enough.
    """
    vacant = books_of.vacant(ledger, shift)
    if not vacant:
        return None
    asked = books_of.offers(ledger, shift.id)
    wave_before = max((one.wave for one in asked), default=0)
    newest = [one for one in asked if one.wave == wave_before]
    waiting = [one.offered_at for one in newest if not one.answer and one.offered_at]
    at = max((then + wave(shift.starts_at, then).wait for then in waiting), default=now)
    most = len(vacant) * wave(shift.starts_at, now).people
    able = () if at > now or now >= give_up_at(shift.starts_at) else tuple(_able(ledger, shift, now))
    if waiting and not able and at <= now:
        at = max(at, patient_until(shift.starts_at))  # the silent may still say yes
    return Step(shift, min(at, give_up_at(shift.starts_at)), tuple(vacant), able, most, wave_before + 1)


def _able(ledger: Ledger, shift: Shift, now: datetime) -> list[int]:
    """Everybody of the crew who could come and was not asked yet, the best first. Coordinators hear of it otherwise."""
    asked = {one.person_id for one in books_of.offers(ledger, shift.id)}
    busy = {one.id for one in people.crew(ledger, "coordinator")}
    able = [who for who in free_for(ledger, shift) if who not in asked | busy]
    return in_order(able, books_of.past(ledger, now - look_back()))


def ask(ledger: Ledger, step: Step, who: list[int], now: datetime) -> None:
    """Take down who is asked now."""
    writing = ledger.enter("stand-ins", Told(None, now, now))
    for one in who:
        writing.record(StandInOffer, shift=step.shift.id, person_id=one, wave=step.wave, offered_at=now)


def unthanked(ledger: Ledger, shift: Shift) -> tuple[datetime | None, list[int]]:
    """Those who were asked for a place that is gone and have said nothing, and from when on they are to be thanked."""
    asked = books_of.offers(ledger, shift.id)
    silent = [one.person_id for one in asked if not one.answer]
    if not silent or books_of.vacant(ledger, shift):
        return None, []
    taken = [one.answered_at for one in asked if one.answer == "yes" and one.answered_at]
    return (max(taken) + AFTERTHOUGHT if taken else None), silent


def close_offers(ledger: Ledger, shift: Shift, who: list[int], now: datetime) -> None:
    """The place is gone for those who were asked and have said nothing."""
    writing = ledger.enter("stand-ins", Told(None, now, now))
    for one in who:
        writing.put(StandInOffer, {"shift": shift.id, "person_id": one}, answer="gone", answered_at=now)
