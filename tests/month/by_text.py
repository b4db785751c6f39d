"""By text: people are asked for the week, the exact roster is made, and a place given up is offered in waves.

Who is asked, how many at once and for how long is the farm's own rule (core/standins.py, core/shifts).
"""

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import NamedTuple

from core.shifts.model import Place, Problem, Roster, Shift
from core.shifts.roster import roster, stand_ins
from core.standins import Past, give_up_at, in_order, look_back, next_wave, wave
from tests.month.tally import Tally
from tests.month.world import WEEK, World, within

FIRST, LAST = "08:00", "20:00"  # nobody is texted unasked outside
TEXTS_A_WEEK = 3  # that ask somebody for more than their own shifts


class Asked(NamedTuple):
    """Somebody asked to step in: when, when they answered (None: never), whether it was a yes."""

    who: int
    at: datetime
    answered_at: datetime | None
    yes: bool


class ByText:
    """The farm's way."""

    told = True

    def __init__(self, world: World, tally: Tally, *, reminds: bool = True) -> None:
        self.world, self.tally, self.reminds = world, tally, reminds
        self.asked: dict[int, list[Asked]] = defaultdict(list)
        self.weekly: dict[int, datetime] = {}

    def plan(self, week: int, problem: Problem) -> set[Place]:
        """The best roster; the coordinator looks at it once, and at each shift that could not be filled."""
        crew = self.world.crew
        self.weekly = dict.fromkeys((who.id for who in crew), self.world.planned_at(week) - timedelta(hours=1))
        found = roster(problem)
        placed = {who for who, _ in found.places}
        replies = sum(self.world.tells(who, week) for who in crew)
        reminders = 2 * len(found.places) if self.reminds else 0
        self._text(len(crew) + replies + len(placed) + reminders + 1)
        self.tally.counts["interventions"] += 1 + len(found.open)
        return set(found.places)

    def stand_in(self, problem: Problem, places: set[Place], place: Place, at: datetime) -> int | None:
        """The first of those asked who says yes."""
        self._text(1)  # to who gave up: noted
        shift = problem.shift[place[1]]
        asked, now = list[Asked](), within(at, FIRST, LAST)
        while now < give_up_at(shift.starts_at):
            size = wave(shift.starts_at, now)
            able = self._able(problem, places, shift, now, {one.who for one in asked})
            new = self._ask(next_wave(able, 1, size.people), shift, now)
            asked += new
            until = _waited_until(new, now + size.wait) if new else give_up_at(shift.starts_at)
            taker = _first_yes(asked, min(until, give_up_at(shift.starts_at)))
            if taker is not None or not new:
                return self._end(asked, taker)
            now = within(until, FIRST, LAST)
        return self._end(asked, _first_yes(asked, give_up_at(shift.starts_at)))

    def _able(self, problem: Problem, places: set[Place], shift: Shift, now: datetime, asked: set[int]) -> list[int]:
        """Who could step in and may be asked, the best first: with a skill that is missing, then who was given least."""
        there = Roster(frozenset(places), {}, {}, 0, 0, 0)
        missing = set(shift.skills) - {skill for who in there.on(shift.id) for skill in problem.worker[who].skills}

        def _fit(who: int) -> tuple[bool, float]:
            one = problem.worker[who]
            return not missing & one.skills, one.given_min / one.asked_min

        free = [who for who in stand_ins(problem, there, shift.id) if who not in asked and self._may_be_asked(who, now)]
        past = {who: self._past(who, now) for who in free}
        return in_order(sorted(free, key=_fit), past)

    def _may_be_asked(self, who: int, now: datetime) -> bool:
        moments = [self.weekly[who], *(one.at for one in self.asked[who])]
        return sum(one > now - WEEK for one in moments) < TEXTS_A_WEEK

    def _past(self, who: int, now: datetime) -> Past:
        lately = [one for one in self.asked[who] if one.at > now - look_back()]
        took = [one.answered_at - one.at for one in lately if one.answered_at and one.answered_at <= now]
        return Past(len(lately), len(took), tuple(one / timedelta(minutes=1) for one in took))

    def _ask(self, chosen: Iterable[int], shift: Shift, now: datetime) -> list[Asked]:
        new = []
        for who in chosen:
            member = self.world.member(who)
            after = self.world.answers_after(member, shift.id)
            answered = None if after is None else now + after
            new.append(Asked(who, now, answered, after is not None and self.world.steps_in(member, shift)))
            self.asked[who].append(new[-1])
        self._text(len(new))
        return new

    def _end(self, asked: list[Asked], taker: int | None) -> int | None:
        """Everybody who was asked hears how it ended, in answer or unasked; the coordinator hears it too."""
        self._text(len(asked) + 1)
        self.tally.counts["interventions"] += taker is None
        return taker

    def _text(self, many: int) -> None:
        self.tally.counts["texts"] += many


def _waited_until(new: list[Asked], at: datetime) -> datetime:
    """A wave ends when its time is over, or when all of it have answered."""
    answers = [one.answered_at for one in new]
    return min(at, max(one for one in answers if one)) if all(answers) else at


def _first_yes(asked: list[Asked], until: datetime) -> int | None:
    yes = [one for one in asked if one.yes and one.answered_at and one.answered_at <= until]
    return min(yes, key=lambda one: (one.answered_at, one.who)).who if yes else None
