"""One day across all areas of the farm: what the digest, the task list and the board show."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from core.readings import Judgement, Range
from core.tasks import Work


@dataclass(frozen=True, slots=True)
class OnShift:
    """A person's place on a shift, by first name; `answer` is "", "yes", "no", "late" (by `minutes`) or "swap"."""

    person_id: int
    name: str
    answer: str
    minutes: float | None = None


@dataclass(frozen=True, slots=True)
class ShiftPicture:
    """A shift and everyone with a place on it."""

    id: str
    starts_at: datetime
    ends_at: datetime
    needed: int
    people: tuple[OnShift, ...]

    @property
    def coming(self) -> tuple[OnShift, ...]:
        """Those who have not said no."""
        return tuple(one for one in self.people if one.answer != "no")

    @property
    def unanswered(self) -> tuple[OnShift, ...]:
        """Those who have not said anything."""
        return tuple(one for one in self.people if not one.answer)

    @property
    def missing(self) -> int:
        """How many more people it needs."""
        return max(0, self.needed - len(self.coming))


@dataclass(frozen=True, slots=True)
class Ripe:
    """Plants of one crop that are ready to cut, and the towers they stand in, in walking order."""

    crop: str
    plants: int
    places: tuple[str, ...]
    since: date


@dataclass(frozen=True, slots=True)
class Judged:
    """A reading, and how it lies to what is wanted there."""

    measure: str
    value: float
    where: str
    at: datetime
    verdict: Judgement
    wanted: Range
    by: str | None = None


@dataclass(frozen=True, slots=True)
class Supplied:
    """A supply; `crop` names the seed. `amount` is None where nobody counted, `said` what people last called it."""

    item: str
    crop: str | None
    amount: float | None
    unit: str
    said: str
    low: bool


@dataclass(frozen=True, slots=True)
class OpenTrouble:
    """Something that is wrong and not yet closed: its number, who told of it, and who sees to it, by first name."""

    kind: str
    places: tuple[str, ...]
    crop: str | None
    at: datetime
    n: int = 0
    by: tuple[str, ...] = ()
    has: str | None = None


@dataclass(frozen=True, slots=True)
class Day:
    """The farm on one day.

    tasks: still to be done, in order; without an id where the day's list is not made yet.
    ripe: ready to cut by that day. readings: the newest of each kind, where they are out of range.
    """

    day: date
    closed: bool
    shifts: tuple[ShiftPicture, ...]
    tasks: tuple[Work, ...]
    ripe: tuple[Ripe, ...]
    readings: tuple[Judged, ...]
    low: tuple[Supplied, ...]
    troubles: tuple[OpenTrouble, ...]
