"""The people of a week as the roster takes them: who can come to which shift, what limits them, what they wish."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property
from statistics import mean
from typing import NamedTuple

from core.books import people
from core.books.ledger import Ledger
from core.books.roster import places_between, said_of_coming, wishes, worked
from core.books.tables import Person, ShiftPattern, Wish
from core.books.tables import Shift as ShiftRow
from core.calendar import bounds, weekday
from core.shifts.availability import can_come
from core.shifts.habits import habits, in_school_hours, limits
from core.shifts.model import Place, Shift, Worker, clash
from core.vocabulary import Vocabulary

WEEKS_A_MONTH = 52 / 12
GIVEN_UP = "no"
SAID_YES = ("yes", "late")


class Standing(NamedTuple):
    """A place as it stands in the books: whose it is, what was answered, on which shift."""

    person_id: int
    answer: str
    shift: ShiftRow


def can_be_told(person: Person) -> bool:
    """Whether somebody may be texted about a place that they did not ask for by text."""
    return bool(person.agreed and person.phone) and not person.muted and not person.under_13


@dataclass
class WeekCrew:
    """The books, read once for the people of the week from a Monday on; `shifts` are those it is made for."""

    ledger: Ledger
    words: Vocabulary
    monday: date
    now: datetime
    shifts: Sequence[Shift]
    patterns: Sequence[ShiftPattern]

    @cached_property
    def people(self) -> Sequence[Person]:
        """Everyone of the crew."""
        return people.crew(self.ledger)

    @cached_property
    def places(self) -> Mapping[Place, Standing]:
        """Every place on the shifts."""
        own = {one.id for one in self.shifts}
        return {(one.person_id, one.shift.id): one for one in self._around if one.shift.id in own}

    def able(self) -> tuple[dict[str, frozenset[int]], frozenset[Place]]:
        """Who can come to which shift, and the places that somebody said no to or is not to be asked for."""
        able: dict[str, set[int]] = defaultdict(set)
        cannot: set[Place] = set()
        said, away = said_of_coming(self.ledger), people.paused(self.ledger, self.monday)
        for shift in self.shifts:
            for person in self.people:
                can = can_come(said.get(person.id, ()), shift.starts_at, shift.ends_at, self.words.zone)
                if self._is_able(person, shift, False if person.id in away else can):
                    able[shift.id].add(person.id)
                elif can is False or person.id in away or not self._may_be_asked(person, shift):
                    cannot.add((person.id, shift.id))
        return {shift.id: frozenset(able[shift.id]) for shift in self.shifts}, frozenset(cannot)

    def promised(self, able: Mapping[str, frozenset[int]]) -> Iterator[Place]:
        """Places that stand and were not put up for a swap, as far as their people can come."""
        for (who, shift), standing in self.places.items():
            if standing.answer not in (GIVEN_UP, "swap") and who in able.get(shift, frozenset()):
                yield who, shift

    def worker(self, person: Person) -> Worker:
        """Somebody with their limits and wishes."""
        wish, days = self._wishes.get(person.id) or Wish(), self._worked.get(person.id, {})
        most, had = limits(person.age), self._had(person.id)
        return Worker(
            id=person.id,
            minor=not person.grown_up,
            newcomer=len(days) < habits()["newcomer_days"],
            skills=self._skills.get(person.id, frozenset()),
            most_day_min=most.day_min,
            most_week_min=max(0, most.week_min - sum(had)),
            most_shifts=self._most_shifts(person.id, wish, len(had)),
            asked_min=self._asked(days, wish),
            given_min=sum(minutes for on, minutes in days.items() if on.year == self.monday.year),
            beside=frozenset(wish.beside or ()),
            apart=frozenset(wish.apart or ()),
            likes=frozenset(one.id for one in self.shifts if self._is_liked(one, wish)),
        )

    @cached_property
    def _span(self) -> tuple[datetime, datetime]:
        return bounds(self.monday, self.monday + timedelta(days=6), self.words.zone)

    @cached_property
    def _around(self) -> Sequence[Standing]:
        """Places of the week and of the days beside it."""
        day = timedelta(days=1)
        found = places_between(self.ledger, self._span[0] - day, self._span[1] + day)
        return [Standing(place.person_id, place.answer, shift) for place, shift in found]

    @cached_property
    def _elsewhere(self) -> Mapping[int, Sequence[Shift]]:
        """Each person's shifts of those days that the roster is not made for."""
        own, found = {one.id for one in self.shifts}, defaultdict(list)
        for one in self._around:
            if one.answer != GIVEN_UP and one.shift.id not in own:
                found[one.person_id].append(self._local(one.shift))
        return found

    def _local(self, row: ShiftRow) -> Shift:
        zone = self.words.zone
        return Shift(row.id, row.starts_at.astimezone(zone), row.ends_at.astimezone(zone), row.needed)

    def _is_able(self, person: Person, shift: Shift, can: bool | None) -> bool:
        """Whether they can come: by their answer about the shift, then by what they said of its hours, by habit."""
        stands = self.places.get((person.id, shift.id))
        if stands and stands.answer in SAID_YES:
            return True
        if can is False or (stands and stands.answer == GIVEN_UP):
            return False
        usual = any(
            person.id in one.usual and (one.day, one.start) == (weekday(shift.day), shift.starts_at.time())
            for one in self.patterns
        )
        willing = usual or (bool(can) and can_be_told(person))
        return stands is not None or (willing and self._may(person, shift))

    def _may_be_asked(self, person: Person, shift: Shift) -> bool:
        """Whether somebody who has said nothing of those hours may be asked to come."""
        stands = self.places.get((person.id, shift.id))
        at_school = not person.grown_up and in_school_hours(shift.starts_at, shift.ends_at)
        gave_up = stands is not None and stands.answer == GIVEN_UP
        return can_be_told(person) and self._may(person, shift) and not at_school and not gave_up

    def _may(self, person: Person, shift: Shift) -> bool:
        """Whether hours and rest let them: those of their age, and their places of the days beside the week."""
        rested = not any(clash(shift, other) for other in self._elsewhere.get(person.id, ()))
        return rested and limits(person.age).allow(shift.starts_at.time(), shift.ends_at.time())

    @cached_property
    def _worked(self) -> Mapping[int, Mapping[date, float]]:
        return worked(self.ledger, self.monday)

    @cached_property
    def _wishes(self) -> Mapping[int, Wish]:
        return wishes(self.ledger)

    @cached_property
    def _skills(self) -> Mapping[int, frozenset[str]]:
        return people.skills(self.ledger, self.monday)

    def _had(self, who: int) -> list[int]:
        """Minutes of each shift of the week that has begun."""
        start, end = self._span[0], min(self._span[1], self.now)
        return [one.minutes for one in self._elsewhere.get(who, ()) if start <= one.starts_at < end]

    def _most_shifts(self, who: int, wish: Wish, had: int) -> int | None:
        """How many more shifts they want: of the week, or of what the month has left of those they want in it."""
        if wish.most is None:
            return None
        if wish.per == "week":
            return max(0, wish.most - had)
        first = self.monday.replace(day=1)
        start, _ = bounds(first, first, self.words.zone)
        places = places_between(self.ledger, start, self._span[0])
        month = sum(place.person_id == who and place.answer != GIVEN_UP for place, _ in places)
        return max(0, wish.most - month - had)

    def _asked(self, days: Mapping[date, float], wish: Wish) -> float:
        """Minutes they would like to give this season, up to the end of the week."""
        begun = min((on for on in days if on.year == self.monday.year), default=self.monday)
        weeks = max(habits()["least_weeks"], (self.monday - begun).days / 7 + 1)
        if wish.most is None or not self.shifts:
            return float(weeks * habits()["hours_a_week"] * 60)
        times = wish.most * weeks / (1 if wish.per == "week" else WEEKS_A_MONTH)
        return float(max(1.0, times * mean(one.minutes for one in self.shifts)))

    def _is_liked(self, shift: Shift, wish: Wish) -> bool:
        part = self.words.day_parts.get(wish.part or "")
        return part is not None and part[0] <= shift.starts_at.time() < part[1]
