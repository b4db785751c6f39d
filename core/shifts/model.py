"""What the roster is made of: people, shifts, who can come when, what was promised; and what comes out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from functools import cached_property

Place = tuple[int, str]
"""A person (by number) on a shift (by id)."""


@dataclass(frozen=True, slots=True)
class Worker:
    """Somebody who can be given shifts.

    minor: never on a shift without an adult, nor on an unsafe one. newcomer: best beside somebody who knows the farm.
    most_day_min, most_week_min: the most they may or want to work on a day, in a week. [min]
    most_shifts: the most shifts in the weeks planned; None for no such wish.
    asked_min, given_min: minutes they would like to give this season, and have given. [min]
    beside, apart: whom they like to be with, and would rather not. likes: shifts at hours they like.
    """

    id: int
    minor: bool = False
    newcomer: bool = False
    skills: frozenset[str] = frozenset()
    most_day_min: int = 480
    most_week_min: int = 1200
    most_shifts: int | None = None
    asked_min: float = 2400.0
    given_min: float = 0.0
    beside: frozenset[int] = frozenset()
    apart: frozenset[int] = frozenset()
    likes: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Shift:
    """A shift and whom it needs: `needed` people, so many with each skill; `unsafe` work is for adults alone."""

    id: str
    starts_at: datetime
    ends_at: datetime
    needed: int
    skills: Mapping[str, int] = field(default_factory=dict)
    unsafe: bool = False

    @property
    def minutes(self) -> int:
        """How long it is. [min]"""
        return round((self.ends_at - self.starts_at).total_seconds() / 60)

    @property
    def day(self) -> date:
        """The day it begins on, by the clock it is given in."""
        return self.starts_at.date()

    @property
    def week(self) -> tuple[int, int]:
        """The ISO year and week it begins in."""
        return self.starts_at.isocalendar()[:2]


REST = timedelta(hours=11)
"""From one day to the next. EU Directive 2003/88/EC, article 3, daily rest; a caution for volunteers (from memory)."""


def clash(one: Shift, other: Shift, rest: timedelta = REST) -> bool:
    """Whether nobody can have both: they overlap, or leave too little rest from one day to the next."""
    first, second = sorted((one, other), key=lambda shift: shift.starts_at)
    gap = second.starts_at - first.ends_at
    return gap < timedelta(0) or (first.day != second.day and gap < rest)


@dataclass(frozen=True)
class Problem:
    """The shifts to be filled and everybody who might.

    able: shift -> who can come then. promised: places people were told of; kept unless an open place is worth more.
    minors_per_adult: at most so many minors for each adult on a shift. rest: between shifts of two days.
    cannot: places that somebody said no to, or is not to be asked for. Times are farm-local.
    """

    workers: Sequence[Worker]
    shifts: Sequence[Shift]
    able: Mapping[str, frozenset[int]]
    promised: frozenset[Place] = frozenset()
    minors_per_adult: int = 2
    rest: timedelta = REST
    cannot: frozenset[Place] = frozenset()

    @cached_property
    def worker(self) -> Mapping[int, Worker]:
        """By number."""
        return {one.id: one for one in self.workers}

    @cached_property
    def shift(self) -> Mapping[str, Shift]:
        """By id."""
        return {one.id: one for one in self.shifts}

    def without(self, place: Place) -> Problem:
        """The same after somebody has given up a place."""
        who, what = place
        able = {**self.able, what: self.able.get(what, frozenset()) - {who}}
        return replace(self, able=able, promised=self.promised - {place}, cannot=self.cannot | {place})

    def clash(self, one: Shift, other: Shift) -> bool:
        """Whether nobody can have both: they overlap, or leave too little rest from one day to the next."""
        return clash(one, other, self.rest)


@dataclass(frozen=True, slots=True)
class Roster:
    """Who has which place.

    open: shift -> people too few. unskilled: (shift, skill) -> people too few with it. cost and bound: what it comes to
    by the weights, and the least it could. seconds: the time it took. [s]
    """

    places: frozenset[Place]
    open: Mapping[str, int]
    unskilled: Mapping[tuple[str, str], int]
    cost: float
    bound: float
    seconds: float

    @property
    def gap(self) -> float:
        """What could still be saved, at most, as a share of the cost."""
        return max(0.0, self.cost - self.bound) / max(abs(self.cost), 1e-9)

    @property
    def proven(self) -> bool:
        """Whether no other roster is better, by less than one part in a million."""
        return self.gap < 1e-6

    def on(self, shift: str) -> frozenset[int]:
        """Who is on a shift."""
        return frozenset(who for who, what in self.places if what == shift)

    def of(self, worker: int) -> frozenset[str]:
        """The shifts of somebody."""
        return frozenset(what for who, what in self.places if who == worker)
