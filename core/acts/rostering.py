"""The roster of a week: proposed to the coordinator, published once they say so, and who could step in on a shift."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from core.acts.answers.shortened import shortened
from core.acts.roster_crew import GIVEN_UP, can_be_told
from core.acts.roster_slots import NEW
from core.acts.roster_week import RosterWeek, roster_week, week_as_booked
from core.acts.scene import Scene
from core.books import people
from core.books.ledger import Ledger, Writing
from core.books.roster import keep_roster, kept_roster
from core.books.tables import KeptRoster, ShiftPlace
from core.books.tables import Shift as ShiftRow
from core.books.vocabulary import vocabulary
from core.calendar import local_day, week
from core.errors import Refused
from core.notes import MakeRoster
from core.outcome import Fact, News, Outcome, fact
from core.people import first_name
from core.shifts.making import Slot
from core.shifts.model import Problem, Roster, Worker
from core.shifts.roster import roster, stand_ins
from core.shifts.why import Open, why_open

TEXT_LIMIT_S = 3.0
"""Somebody waits for the answer."""

MOST_OPEN = 2
"""Open shifts explained in one text; the others are counted."""

MOST_NAMED = 2
"""People named to be asked for one shift."""


@dataclass(frozen=True)
class Proposal:
    """A week's roster before anybody is told: the week, who has which place, and what stays open."""

    week: RosterWeek
    roster: Roster
    open: tuple[Open, ...]

    @property
    def needed(self) -> int:
        """Places in all."""
        return sum(one.needed for one in self.week.problem.shifts)


def make_roster(note: MakeRoster, scene: Scene) -> Outcome:
    """Propose the roster of a week; published once the sender is sure, and each on it told their shifts in one text.

    Raises:
        Refused: "roster_past" for a week that is over, "roster_empty" where there is nothing to fill.
    """
    monday = week_meant(note.date, scene.day)
    made = propose(scene, monday)
    if not scene.sure:
        return Outcome(doubts=tuple(_summary(made, scene)))
    return publish_roster(made, scene)


def publish_roster(made: Proposal, scene: Scene) -> Outcome:
    """Write a roster down under one entry, and tell each person on it their shifts in one text."""
    writing = scene.enter(MakeRoster(date=made.week.monday))
    ids = _write(writing, made)
    keep(scene, made, ids, published=True)
    told, sender = dict(_told(made)), scene.told.person_id
    reached = {who for who in told if who == sender or can_be_told(people.person(scene.ledger, who))}
    untold = tuple(_name(who, scene) for who in told if who not in reached)
    remarks = [told[sender]] if sender in told else []
    remarks += [fact("roster_untold", who=untold)] if untold else []
    out = fact("roster_out", day=made.week.monday, filled=len(made.roster.places), needed=made.needed, n=len(reached))
    news = tuple(News(said, person_id=who) for who, said in sorted(told.items()) if who in reached)
    return Outcome((out,), tuple(remarks), entry=writing.n, news=news)


def taken_back(note: MakeRoster, scene: Scene) -> Iterator[News]:
    """Those who were told of a roster hear that it was taken back."""
    kept = kept_roster(scene.ledger, note.date) if note.date else None
    for who in sorted({who for who, _ in kept.places} if kept else set()):
        yield News(fact("roster_off", day=note.date), person_id=who)


def week_meant(day: date | None, today: date) -> date:
    """The Monday of the week that is meant: that of a day, or of next week where none was said.

    Raises:
        Refused: "roster_past", for a week that is over.
    """
    monday = week(day)[0] if day else week(today)[0] + timedelta(weeks=1)
    if monday + timedelta(days=6) < today:
        raise Refused("roster_past", day=monday)
    return monday


def propose(scene: Scene, monday: date, time_limit_s: float = TEXT_LIMIT_S) -> Proposal:
    """The best roster for what is still to come of a week, with the proof; nothing is written.

    Raises:
        Refused: "roster_empty", where the week has neither shifts nor work enough for one.
    """
    found = roster_week(scene.ledger, scene.vocabulary, monday, scene.told.now)
    if not found.problem.shifts:
        raise Refused("roster_empty", day=monday)
    made = roster(found.problem, time_limit_s)
    return Proposal(found, made, tuple(why_open(found.problem, made)))


def keep(scene: Scene, made: Proposal, ids: Mapping[str, str], *, published: bool) -> None:
    """Keep a roster with its proof; `ids` are those of shifts that were new."""
    row = KeptRoster(
        farm_id=scene.ledger.farm_id,
        week=made.week.monday,
        made_at=scene.told.now,
        places=sorted([who, ids.get(shift, shift)] for who, shift in made.roster.places),
        open={ids.get(shift, shift): missing for shift, missing in made.roster.open.items()},
        cost=made.roster.cost,
        bound=made.roster.bound,
        gap=made.roster.gap,
        seconds=made.roster.seconds,
        published=published,
    )
    keep_roster(scene.ledger, row)


def free_for(ledger: Ledger, shift: ShiftRow) -> list[int]:
    """Who could step in on a shift as things are, nobody else being moved, those who fit best first.

    First those who said that they can come or usually do, then those who have said nothing of those hours. Within each,
    who brings a skill that is missing goes before who does not, who likes the hour before who does not, and who was
    given a smaller share of what they asked for before who was given more. Nobody who said no, none whom the rules of
    the roster bar, and no one who cannot be texted.
    """
    words = vocabulary(ledger.session, ledger.farm_id)
    monday = week(local_day(shift.starts_at, words.zone))[0]
    found = week_as_booked(ledger, words, monday)
    problem, now = found.problem, _as_it_is(found)
    barred = {who for who, what in problem.cannot if what == shift.id}
    willing = problem.able.get(shift.id, frozenset())
    anybody = replace(problem, able={**problem.able, shift.id: willing | (problem.worker.keys() - barred)})
    lacking = {skill for skill in problem.shift[shift.id].skills if not _has(problem, now, shift.id, skill)}

    def _order(who: int) -> tuple[bool, bool, bool, float, int]:
        return (who not in willing, *_fit(problem.worker[who], shift.id, lacking))

    return sorted(stand_ins(anybody, now, shift.id), key=_order)


def _fit(worker: Worker, shift: str, lacking: set[str]) -> tuple[bool, bool, float, int]:
    return (
        not lacking & worker.skills,
        shift not in worker.likes,
        worker.given_min / max(worker.asked_min, 1.0),
        worker.id,
    )


def _has(problem: Problem, now: Roster, shift: str, skill: str) -> bool:
    return any(skill in problem.worker[who].skills for who in now.on(shift) if who in problem.worker)


def _as_it_is(found: RosterWeek) -> Roster:
    """The places that stand in the books, as a roster."""
    stands = {place for place, standing in found.places.items() if standing.answer != GIVEN_UP}
    here = frozenset(place for place in stands if place[0] in found.problem.worker)
    return Roster(here, {}, {}, 0.0, 0.0, 0.0)


def _write(writing: Writing, made: Proposal) -> dict[str, str]:
    """New shifts, those shaped anew, places given and places taken off; the ids of the new shifts."""
    ids = {}
    for key, slot in made.week.slots.items():
        if key.startswith(NEW):
            ids[key] = _record_shift(writing, slot)
        elif _shape(slot) != _shape_of(made.week.booked[key]):
            writing.put(ShiftRow, {"id": key}, **_shape(slot))
    for who, shift in sorted(_given(made)):
        writing.record(ShiftPlace, shift=ids.get(shift, shift), person_id=who)
    for who, shift in sorted(_taken_off(made)):
        writing.put(ShiftPlace, {"shift": shift, "person_id": who}, answer=GIVEN_UP)
    return ids


def _record_shift(writing: Writing, slot: Slot) -> str:
    number = f"s{writing.ledger.number('shift')}"
    writing.record(ShiftRow, id=number, starts_at=slot.starts_at, ends_at=slot.ends_at, **_shape(slot))
    return number


def _shape(slot: Slot) -> dict[str, object]:
    return {"needed": slot.needed, "minutes": slot.minutes, "skills": list(slot.skills), "adults": slot.adults}


def _shape_of(row: ShiftRow) -> dict[str, object]:
    return {"needed": row.needed, "minutes": row.minutes, "skills": list(row.skills), "adults": row.adults}


def _given(made: Proposal) -> set[tuple[int, str]]:
    return set(made.roster.places) - set(made.week.places)


def _taken_off(made: Proposal) -> set[tuple[int, str]]:
    """Places that stand in the books and that the roster gives to nobody or to somebody else."""
    return {
        place
        for place, standing in made.week.places.items()
        if standing.answer != GIVEN_UP and place not in made.roster.places and place[0] in made.week.problem.worker
    }


def _told(made: Proposal) -> Iterator[tuple[int, Fact]]:
    """What each person hears: their shifts of the week, and those they are no longer on."""
    off = _taken_off(made)
    for worker in made.week.problem.workers:
        own = made.roster.of(worker.id)
        gone = {shift for who, shift in off if who == worker.id}
        if own:
            yield worker.id, fact("your_week", shifts=_spans(own, made), off=_spans(gone, made))
        elif gone:
            yield worker.id, fact("your_week_off", off=_spans(gone, made))


def _spans(shifts: Iterable[str], made: Proposal) -> tuple[Fact, ...]:
    slots = sorted((made.week.slots[one] for one in shifts), key=lambda one: one.starts_at)
    return tuple(fact("shift_span", span=(one.starts_at, one.ends_at)) for one in slots)


def _summary(made: Proposal, scene: Scene) -> Iterator[Fact]:
    """How much is filled, what is new, what stays open, why, and who could be asked."""
    yield fact("doubt_roster", day=made.week.monday, filled=len(made.roster.places), needed=made.needed)
    new = [one for one in made.week.problem.shifts if one.id.startswith(NEW)]
    if new:
        yield fact("roster_new", shifts=_spans([one.id for one in new], made))
    if made.open:
        gaps, more = shortened(made.open, MOST_OPEN)
        yield fact("roster_open", gaps=tuple(gap(one, scene) for one in gaps), more=more)


def _name(who: int, scene: Scene) -> str:
    return first_name(people.person(scene.ledger, who).name)


def gap(one: Open, scene: Scene) -> Fact:
    """A shift that is not filled: how many are missing, why, and whom to ask (not the one who is told of it)."""
    names = [_name(ask.worker, scene) for ask in one.asks if ask.worker != scene.told.person_id]
    return fact(
        "roster_gap",
        span=(one.shift.starts_at, one.shift.ends_at),
        missing=one.missing or None,
        why=(_why(one),),
        who=tuple(names[:MOST_NAMED]),
    )


def _why(one: Open) -> Fact:
    """The one reason that matters most."""
    if one.skill and not one.missing:
        return fact("roster_why_skill", skill=one.skill)
    if one.waiting_minors:
        return fact("roster_why_needs_adult", n=one.waiting_minors)
    first = max(one.reasons, key=lambda why: one.reasons[why], default="not_able")
    return fact(f"roster_why_{first}")
