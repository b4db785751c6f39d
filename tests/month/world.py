"""What happens to a crew in a month whoever runs it: the shifts, who can come, who gives up, who does not come.

The two ways of running it share this luck, so that what differs between them is the way.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from math import exp

from core.shifts.habits import limits
from core.shifts.model import Problem, Shift, Worker
from tests.crowd import Member, between, luck, supposed

MONDAY = datetime(2026, 5, 4, tzinfo=UTC)
WEEK = timedelta(weeks=1)
LEAST_WEEKS = 4  # that count in what somebody asked for, as the roster takes it


def clock(on: datetime, hour: str) -> datetime:
    """An hour of a day."""
    return datetime.combine(on.date(), time.fromisoformat(hour), on.tzinfo)


def within(at: datetime, first: str, last: str) -> datetime:
    """The first moment from `at` on that lies between two hours of a day."""
    if at < clock(at, first):
        return clock(at, first)
    return at if at < clock(at, last) else clock(at + timedelta(days=1), first)


@dataclass(frozen=True)
class World:
    """A crew, and the luck of its month."""

    crew: tuple[Member, ...]
    seed: int

    def member(self, who: int) -> Member:
        """By number; a crew's numbers follow one another."""
        return self.crew[who - self.crew[0].id]

    def planned_at(self, week: int) -> datetime:
        """When a week is planned: on the Thursday before."""
        return clock(MONDAY + week * WEEK - timedelta(days=4), supposed()["week"]["planned_at"])

    def shifts(self, week: int) -> tuple[Shift, ...]:
        """The shifts of a week: as many of the regular ones as the crew is large enough for."""
        farm = supposed()["farm"]
        count = max(1, round(len(self.crew) * farm["places_a_person"] / farm["people_a_shift"]))
        return tuple(_shift(week, number) for number in range(min(count, len(farm["shifts"]))))

    def problem(self, week: int, given: Mapping[int, float], told: bool = True) -> Problem:
        """The week as the roster sees it: whoever is usually free can come, unless they told (`told`) they cannot."""
        shifts = self.shifts(week)
        able = {
            one.id: frozenset(
                who.id
                for who in self.crew
                if self.usually(who, one) and not (told and self.tells(who, week) and self.busy(who, one))
            )
            for one in shifts
        }
        return Problem([_worker(who, week, given) for who in self.crew], shifts, able)

    def usually(self, who: Member, shift: Shift) -> bool:
        """Whether somebody is usually free then."""
        return int(shift.id.split(".")[1]) in who.free

    def busy(self, who: Member, shift: Shift) -> bool:
        """Whether something has come up by the time the week is planned."""
        return luck(self.seed, "busy", who.id, shift.id).random() < supposed()["week"]["came_up"]

    def can(self, who: Member, shift: Shift) -> bool:
        """Whether somebody can really come, told or not."""
        return self.usually(who, shift) and not self.busy(who, shift)

    def tells(self, who: Member, week: int) -> bool:
        """Whether somebody answers when asked by text for the week."""
        return luck(self.seed, "tells", who.id, week).random() < who.answers

    def steps_in(self, who: Member, shift: Shift) -> bool:
        """Whether somebody says yes when asked to step in."""
        return self.can(who, shift) and luck(self.seed, "willing", who.id, shift.id).random() < who.willing

    def answers_after(self, who: Member, about: object) -> timedelta | None:
        """How long somebody takes to answer a text; None where they never do."""
        rng = luck(self.seed, "answers", who.id, about)
        if rng.random() >= who.answers:
            return None
        return timedelta(minutes=who.answer_min * exp(rng.gauss(0, supposed()["habits"]["answer_spread"])))

    def picks_up(self, who: Member, about: object) -> bool:
        """Whether somebody takes a call."""
        return luck(self.seed, "picks up", who.id, about).random() < who.picks_up

    def gives_up_at(self, who: Member, shift: Shift) -> datetime | None:
        """When somebody gives up a place they could have kept; None where they do not."""
        rng = luck(self.seed, "gives up", who.id, shift.id)
        if rng.random() >= who.gives_up:
            return None
        return shift.starts_at - timedelta(hours=between(rng, supposed()["week"]["gives_up_hours"]))

    def forgets(self, who: Member, shift: Shift) -> bool:
        """Whether somebody would not come, without a word."""
        return luck(self.seed, "forgets", who.id, shift.id).random() < who.no_show

    def is_caught(self, who: Member, shift: Shift) -> bool:
        """Whether a reminder makes them give the place up instead."""
        return luck(self.seed, "caught", who.id, shift.id).random() < supposed()["week"]["caught_by_reminder"]


def _shift(week: int, number: int) -> Shift:
    row, size = supposed()["farm"]["shifts"][number], supposed()["farm"]["people_a_shift"]
    day = MONDAY + week * WEEK + timedelta(days=row["day"])
    start, end = (day + timedelta(hours=row[one]) for one in ("from", "to"))
    skills = dict.fromkeys(row.get("skills", ()), 1)
    return Shift(f"{week}.{number}", start, end, size, skills, row.get("unsafe", False))


def _worker(who: Member, week: int, given: Mapping[int, float]) -> Worker:
    most = limits(who.age)
    return Worker(
        who.id,
        minor=who.minor,
        newcomer=who.newcomer and week == 0,
        skills=who.skills,
        most_day_min=most.day_min,
        most_week_min=most.week_min,
        most_shifts=who.most_shifts,
        asked_min=who.wish_hours * 60 * max(week + 1, LEAST_WEEKS),
        given_min=given.get(who.id, 0.0),
    )
