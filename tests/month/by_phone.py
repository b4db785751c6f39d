"""Phoning round in list order: down the list, whoever takes the call and can come has the places still open.

The coordinator keeps the same rules as the roster does, and rings nobody whom they rule out. Adults stand first on the
list, for minors need one beside them. One call asks for all the places of the week. Nobody is reminded.
"""

from dataclasses import replace
from datetime import datetime, timedelta

from core.shifts.model import Place, Problem, Shift
from core.shifts.rules import against
from core.standins import give_up_at
from tests.crowd import Member, supposed
from tests.month.tally import Tally
from tests.month.world import World, within


class ByPhone:
    """A coordinator with a list and a phone."""

    reminds = False
    told = False

    def __init__(self, world: World, tally: Tally, *, knows_hours: bool = False) -> None:
        self.world, self.tally, self.knows_hours = world, tally, knows_hours
        self.list = sorted(world.crew, key=lambda who: who.minor)
        self.rounds = range(supposed()["phone"]["rounds"])

    def plan(self, week: int, problem: Problem) -> set[Place]:
        """The week's places, given away down the list; once more to those who took no call."""
        asked, places, reached = self._rung(problem), set[Place](), set[int]()
        for turn in self.rounds:
            for who in self.list:
                wanted = who.id not in reached and self._wanted(asked, places, who)
                if wanted and self._rings(who, (week, turn)):
                    reached.add(who.id)
                    self._takes(asked, places, who)
        return places

    def stand_in(self, problem: Problem, places: set[Place], place: Place, at: datetime) -> int | None:
        """Whoever says yes first, rung one after another."""
        self._count()  # the call of who gave up
        asked, shift = self._rung(problem), problem.shift[place[1]]
        hours, step = supposed()["phone"], timedelta(minutes=supposed()["phone"]["call_min"])
        reached = {who for who, what in problem.cannot | places if what == shift.id}  # said no, or is on it
        for turn in self.rounds:
            for who in self.list:
                if who.id in reached or against(asked, places, (who.id, shift.id)):
                    continue
                at = within(at, hours["from"], hours["until"]) + step
                if at >= give_up_at(shift.starts_at):
                    return None
                if self._rings(who, (place, turn)):
                    reached.add(who.id)
                    if self.world.steps_in(who, shift):
                        return who.id
        return None

    def _wanted(self, asked: Problem, places: set[Place], who: Member) -> list[Shift]:
        taken = [what for _, what in places]
        free = [one for one in asked.shifts if taken.count(one.id) < one.needed]
        ahead = sorted(free, key=lambda one: one.starts_at)
        return [one for one in ahead if not against(asked, places, (who.id, one.id))]

    def _takes(self, asked: Problem, places: set[Place], who: Member) -> None:
        for shift in self._wanted(asked, places, who):
            if self.world.can(who, shift) and not against(asked, places, (who.id, shift.id)):
                places.add((who.id, shift.id))

    def _rings(self, who: Member, about: object) -> bool:
        self._count()
        return self.world.picks_up(who, about)

    def _count(self) -> None:
        self.tally.counts.update(calls=1, interventions=1)

    def _rung(self, problem: Problem) -> Problem:
        """The week with those whom it is worth to ring: everybody, or those who are usually free then."""
        everybody = frozenset(problem.worker)
        return problem if self.knows_hours else replace(problem, able={one.id: everybody for one in problem.shifts})
