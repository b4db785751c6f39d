"""A month played week by week: planned, given up, stepped in for, worked.

Left out, alike for every way: a place that nobody was found for stays open; searches for two places do not run into each
other; who stepped in does not give that place up again; nobody joins or leaves.
"""

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime, timedelta
from heapq import heapify, heappop
from typing import Protocol

from core.shifts.model import Place, Problem
from core.shifts.rules import faults
from tests.crowd import Member, crews, supposed
from tests.month.by_phone import ByPhone
from tests.month.by_text import ByText
from tests.month.tally import Tally
from tests.month.world import World, clock


class Way(Protocol):
    """A way to run a crew.

    reminds: whether people are reminded the evening before. told: whether it knows when people usually can come.
    """

    reminds: bool
    told: bool

    def plan(self, week: int, problem: Problem) -> set[Place]: ...

    def stand_in(self, problem: Problem, places: set[Place], place: Place, at: datetime) -> int | None: ...


WAYS: dict[str, Callable[[World, Tally], Way]] = {
    "by text": ByText,
    "by text, no reminders": lambda world, tally: ByText(world, tally, reminds=False),
    "phoning round": ByPhone,
    "phoning, hours known": lambda world, tally: ByPhone(world, tally, knows_hours=True),
}


def month(people: Sequence[Member], way: str, seed: int, weeks: int = 4) -> Tally:
    """A month of a crowd, run in one of the WAYS, crew by crew."""
    whole = Tally()
    for crew in crews(people):
        whole.add(_Month(World(crew, seed), way).played(weeks))
    return whole


class _Month:
    def __init__(self, world: World, way: str) -> None:
        self.world, self.tally = world, Tally()
        self.tally.given_min = {who.id: 0.0 for who in world.crew}
        self.way = WAYS[way](world, self.tally)

    def played(self, weeks: int) -> Tally:
        for week in range(weeks):
            self._week(week)
        for who in self.world.crew:
            self.tally.share[who.id] = self.tally.given_min[who.id] / (who.wish_hours * 60 * weeks)
        return self.tally

    def _week(self, week: int) -> None:
        problem = self.world.problem(week, self.tally.given_min, self.way.told)
        places = self.way.plan(week, problem)
        if faults(problem if self.way.told else _as_agreed(problem, places), places):
            raise AssertionError("a rule of the roster is broken")
        self._replaced(week, problem, places)
        self._worked(problem, places)

    def _replaced(self, week: int, problem: Problem, places: set[Place]) -> None:
        """Places given up change hands or stay open, one after another."""
        leaving = list(self._leaving(week, problem, places))
        heapify(leaving)
        while leaving:
            at, place = heappop(leaving)
            places.discard(place)
            self.tally.counts["given_up"] += 1
            problem = problem.without(place)
            taker = self.way.stand_in(problem, places, place, at)
            if taker is not None:
                places.add((taker, place[1]))
                self.tally.counts["stepped_in"] += 1

    def _leaving(self, week: int, problem: Problem, places: set[Place]) -> Iterator[tuple[datetime, Place]]:
        for place in sorted(places):
            at = self._leaves_at(week, problem, place)
            if at is not None:
                yield at, place

    def _leaves_at(self, week: int, problem: Problem, place: Place) -> datetime | None:
        """When a place is given up: at once by who cannot come and had not said so, or later, or when reminded."""
        who, shift = self.world.member(place[0]), problem.shift[place[1]]
        reminded = clock(shift.starts_at - timedelta(days=1), supposed()["week"]["reminded_at"])
        caught = reminded if self.way.reminds and self.world.is_caught(who, shift) else None
        if not self.world.can(who, shift):
            after = self.world.answers_after(who, ("roster", week))
            told = self.world.planned_at(week) + (after or timedelta(weeks=2))
            return told if told < shift.starts_at else caught
        gone = self.world.gives_up_at(who, shift)
        return gone or (caught if self.world.forgets(who, shift) else None)

    def _worked(self, problem: Problem, places: set[Place]) -> None:
        """Who came, by shift; minors who would be without an adult go home and are not counted as having come."""
        counts = self.tally.counts
        came = {place for place in places if self._comes(problem, place)}
        home = _without_adult(problem, came)
        counts.update(no_shows=len(places - came), sent_home=len(home))
        for shift in problem.shifts:
            there = [problem.worker[who] for who, what in came - home if what == shift.id]
            held = sum(what == shift.id for _, what in places)
            counts.update(shifts=1, places=shift.needed, came=len(there), open=shift.needed - held)
            counts["full"] += len(there) >= shift.needed
            counts["lacking"] += any(not any(skill in one.skills for one in there) for skill in shift.skills)
            for one in there:
                self.tally.given_min[one.id] += shift.minutes

    def _comes(self, problem: Problem, place: Place) -> bool:
        who, shift = self.world.member(place[0]), problem.shift[place[1]]
        return self.world.can(who, shift) and not self.world.forgets(who, shift)


def _as_agreed(problem: Problem, places: set[Place]) -> Problem:
    """The week as it is known after phoning: whoever said yes can come."""
    able = {one.id: frozenset(who for who, what in places if what == one.id) for one in problem.shifts}
    return Problem(problem.workers, problem.shifts, able)


def _without_adult(problem: Problem, came: set[Place]) -> set[Place]:
    """The places of minors on shifts with too few adults."""
    alone = {one.shift for one in faults(problem, came) if one.why == "needs_adult"}
    return {(who, what) for who, what in came if what in alone and problem.worker[who].minor}
