"""Stand-ins in texts: free places are offered wave by wave, those who asked in vain are thanked. The clockwork's part.

Who is asked is decided in `core.acts.standins`; here is whom a text may reach now: in the hours for it, not asked too
often this week, and with no other question of ours open.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlmodel import Session

from core.acts import standins as acts
from core.acts.standins import Step
from core.books import people
from core.books import standins as books_of
from core.books.crew import coming
from core.books.ledger import Ledger
from core.books.store import Books
from core.books.tables import Farm, Shift
from core.books.vocabulary import vocabulary
from core.calendar import instant, local_day
from core.outcome import Fact, fact
from core.people import first_name
from core.standins import next_wave
from service.asking import may_be_asked
from service.once import insert_once
from service.questions import alive, ask_attendance
from service.quiet import LAST, next_allowed
from service.tables import DueWork, OpenQuestion
from service.words import Speaker

OFFER, THANKS, FAILED = "offer", "offer-gone", "offer-failed"

Place = Callable[..., object]


def see_to(books: Books, farm_id: int, now: datetime, place: Place) -> int:
    """Ask, thank, and tell the coordinator where nobody was found; how many texts."""
    with books.read() as session:
        if not any(at <= now for at in _moments(session, Ledger(session, farm_id), now)):
            return 0
    with books.write() as session:
        desk = _Round(session, farm_id, now, place)
        return sum(desk.of_shift(shift) for shift in _shifts(desk.ledger, now))


def next_moment(session: Session, ledger: Ledger, now: datetime) -> datetime | None:
    """When somebody is to be asked, thanked or told next, if nothing is said meanwhile."""
    return min((at for at in _moments(session, ledger, now) if at > now), default=None)


def _shifts(ledger: Ledger, now: datetime) -> list[Shift]:
    """The shifts to come for which anybody is or was looked for."""
    return list({shift.id: shift for _, shift in books_of.searches(ledger, now)}.values())


def _moments(session: Session, ledger: Ledger, now: datetime) -> Iterator[datetime]:
    zone = ZoneInfo(session.get_one(Farm, ledger.farm_id).timezone)
    for shift in _shifts(ledger, now):
        step = acts.next_step(ledger, shift, now)
        if step is not None and (step.people or step.at > now):
            yield next_allowed(step.at, zone)
        elif step is not None and not _is_told(session, ledger, step, zone):
            yield now
        since, silent = acts.unthanked(ledger, shift)
        if silent:
            yield next_allowed(max(since or now, now), zone)


def _is_told(session: Session, ledger: Ledger, step: Step, zone: ZoneInfo) -> bool:
    return all(
        session.get(DueWork, (ledger.farm_id, FAILED, one.id, local_day(step.shift.starts_at, zone), _about(step)))
        for one in people.crew(ledger, "coordinator")
    )


def _about(step: Step) -> str:
    """The vacancies that a failure is about: one more place given up is another failure."""
    return "|".join([step.shift.id, *(f"{one.person_id}@{one.opened_at:%m%d%H%M%S}" for one in step.vacant)])


class _Round:
    """One look at a farm's vacancies, in one unit of work."""

    def __init__(self, session: Session, farm_id: int, now: datetime, place: Place) -> None:
        self.session, self.now, self.place = session, now, place
        self.ledger = Ledger(session, farm_id)
        self.farm = session.get_one(Farm, farm_id)
        self.words = vocabulary(session, farm_id)

    def of_shift(self, shift: Shift) -> int:
        """The texts that one shift wants now."""
        step = acts.next_step(self.ledger, shift, self.now)
        if step is None:
            return self._thank(shift)
        if step.people:
            asked = self._ask(step)
            return asked or (self._tell_failed(step) if not self._may_yet(step) else 0)
        return self._tell_failed(step) if step.at <= self.now else 0

    def _may_yet(self, step: Step) -> bool:
        """Whether somebody may be asked later: in other hours, or once another question of ours is answered."""
        crew = [people.person(self.ledger, who) for who in step.people]
        return any(may_be_asked(self.ledger, self.farm, one, self.now) for one in crew)

    def _ask(self, step: Step) -> int:
        able = [who for who in step.people if self._is_free_to_answer(who)]
        chosen = next_wave(able, 1, step.most)
        if not chosen:
            return 0
        acts.ask(self.ledger, step, chosen, self.now)
        span = (step.shift.starts_at, step.shift.ends_at)
        for who in chosen:
            ask_attendance(self.session, self.farm.id, who, step.shift.id, self.now)
            self._text(who, OFFER, fact("offer", farm=self.words.farm, span=span), step.shift, f"{step.wave}")
        return len(chosen)

    def _is_free_to_answer(self, who: int) -> bool:
        """Whether an OK of theirs could be about nothing else, and a text may go out to them now."""
        person = people.person(self.ledger, who)
        if not may_be_asked(self.ledger, self.farm, person, self.now):
            return False
        if next_allowed(self.now, self.words.zone, person.early_at) != self.now:
            return False
        return alive(self.session.get(OpenQuestion, (self.farm.id, who)), self.now) is None

    def _thank(self, shift: Shift) -> int:
        since, silent = acts.unthanked(self.ledger, shift)
        if not silent or max(since or self.now, self.now) > self.now:
            return 0
        if next_allowed(self.now, self.words.zone) != self.now:
            return 0
        acts.close_offers(self.ledger, shift, silent, self.now)
        for who in silent:
            self._close_question(who, shift)
            said = fact("offer_gone", farm=self.words.farm, span=(shift.starts_at, shift.ends_at))
            self._text(who, THANKS, said, shift, f"{self.now:%m%d%H%M}")
        return len(silent)

    def _close_question(self, who: int, shift: Shift) -> None:
        question = self.session.get(OpenQuestion, (self.farm.id, who))
        if question is not None and (question.about, question.shift) == ("shift", shift.id):
            self.session.delete(question)

    def _tell_failed(self, step: Step) -> int:
        """The coordinators hear once that nobody was found, of whom, and whether minors would be without an adult."""
        asked = books_of.offers(self.ledger, step.shift.id)
        there = [people.person(self.ledger, who) for who in coming(self.ledger, step.shift.id)]
        alone = bool(there) and not any(one.grown_up for one in there)
        said = fact(
            "stand_in_failed",
            span=(step.shift.starts_at, step.shift.ends_at),
            before=tuple(first_name(people.person(self.ledger, one.person_id).name) for one in step.vacant),
            asked=len(asked),
            left=len(there),
            needed=step.shift.needed,
            alone=(fact("minors_alone"),) if alone else (),
        )
        day = local_day(step.shift.starts_at, self.words.zone)
        told = 0
        for one in people.crew(self.ledger, "coordinator"):
            row = DueWork(
                farm_id=self.farm.id, job=FAILED, person_id=one.id, day=day, about=_about(step), done_at=self.now
            )
            if insert_once(self.session, row):
                told += self._text(one.id, FAILED, said, step.shift, f"{self.now:%m%d%H%M}")
        return told

    def _text(self, who: int, kind: str, said: Fact, shift: Shift, about: str) -> int:
        person = people.person(self.ledger, who)
        if person.phone is None or person.muted or not person.agreed:
            return 0
        allowed = next_allowed(self.now, self.words.zone, person.early_at)
        last = instant(local_day(allowed, self.words.zone), LAST, self.words.zone)
        placed = self.place(
            self.session,
            farm_id=self.farm.id,
            key=f"{kind}:{shift.id}:{person.id}:{about}",
            phone=person.phone,
            person_id=person.id,
            kind=OFFER if kind == OFFER else "news",
            body=Speaker(person.language, self.words, local_day(self.now, self.words.zone)).text([said]),
            now=self.now,
            not_before=allowed,
            expires_at=min(shift.starts_at, last),
        )
        return placed is not None
