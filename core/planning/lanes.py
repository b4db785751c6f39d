"""Plants on their way through the farm as the programme takes them: which unknown stands for what, where and when."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from core.planning.courses import Course
from core.planning.model import Crop, Where


class Stretch(NamedTuple):
    """An unknown takes so many cells or sites a unit from a day to before another."""

    first: int
    end: int
    column: int
    takes: float


@dataclass(frozen=True, slots=True)
class Way:
    """Plants on their way to their next cut.

    begins: where they are before anything is done; "seed" for what is still to be sown. column: the unknown of which
    one unit is so many plugs, under cover. raised: the one of which one unit is so many seedlings on the shelves and so
    many plants in the towers.
    """

    crop: Crop
    begins: Literal["seed", "cover", "shelf", "tower"]
    course: Course
    column: int
    plugs: float
    raised: int
    seedlings: float
    plants: float

    def stretch(self, where: Where) -> Stretch:
        """When it stands in a kind of place, and what it takes there; no days at all where it lies behind."""
        course = self.course
        if where == "cover":
            return Stretch(course.sown, course.off_cover, self.column, self.plugs)
        if where == "shelf":
            return Stretch(course.off_cover, course.in_towers, self.raised, self.seedlings)
        return Stretch(course.in_towers, course.ready, self.raised, self.plants * self.crop.sites)

    def handlings(self) -> Iterator[tuple[int, int, float]]:
        """Week, unknown and minutes of each time one unit of it is sown or moved."""
        crop, course = self.crop, self.course
        if self.begins == "seed":
            yield course.sown // 7, self.column, crop.sow_minutes * self.plugs
        if self.begins in ("seed", "cover") and course.sown < course.off_cover:
            yield course.off_cover // 7, self.raised, crop.move_minutes * self.seedlings
        if self.begins != "tower":
            yield course.in_towers // 7, self.raised, crop.move_minutes * self.plants


@dataclass(frozen=True, slots=True)
class Cuts:
    """One cut of a lane: its number (0 is the first), its weekday, and the unknowns.

    cut: plants by the weeks in which they are ripe and are cut. kept_on: those left to grow again, by the week of the
    cut and the week in which they are ripe once more.
    """

    number: int
    weekday: int
    cut: dict[tuple[int, int], int] = field(default_factory=dict)
    kept_on: dict[tuple[int, int], int] = field(default_factory=dict)

    def by_week(self) -> dict[int, list[int]]:
        """The unknowns of what is cut, by the week it is cut in."""
        found: dict[int, list[int]] = {}
        for (_, week), column in self.cut.items():
            found.setdefault(week, []).append(column)
        return found


@dataclass(frozen=True, slots=True)
class Lane:
    """Plants of a crop that come to their cuts on the same weekdays, so that they can be counted together."""

    crop: Crop
    ways: list[Way]
    cuts: list[Cuts] = field(default_factory=list)

    def stretches(self, where: Where) -> Iterator[Stretch]:
        """All that its plants take in a kind of place."""
        yield from (way.stretch(where) for way in self.ways)
        if where == "tower":
            for cuts in self.cuts:
                yield from self._ripe(cuts)

    def _ripe(self, cuts: Cuts) -> Iterator[Stretch]:
        for (ripe, week), column in cuts.cut.items():
            yield Stretch(7 * ripe + cuts.weekday, 7 * week + cuts.weekday, column, self.crop.sites)
        after = (cuts.weekday + (self.crop.regrow_days or 0)) % 7
        for (week, again), column in cuts.kept_on.items():
            yield Stretch(7 * week + cuts.weekday, 7 * again + after, column, self.crop.sites)

    def cut_minutes(self) -> Iterator[tuple[int, int, float]]:
        """Week, unknown and minutes of cutting one unit of it."""
        for cuts in self.cuts:
            minutes = self.crop.cut_minutes * self.crop.heads_a_plant(cuts.number)
            yield from ((week, column, minutes) for (_, week), column in cuts.cut.items())
