"""What the planner is asked and what it answers, in the words of the trade. Values only; the rules are beside it.

The plan runs in weeks from Monday to Sunday; week 0 holds today. Inside a week everything has its day: plugs are sown
on the sowing weekday, come off the cover, into the towers and ready to cut so many days later, and what is not cut on
the day it is ready waits whole weeks. So stage days are kept exactly; a week's occupancy is that of its fullest day.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Literal

Where = Literal["cover", "shelf", "tower"]


TO_SPARE = 3
"""The priority of what is wanted to spare only: nobody is told when it is missing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Crop:
    """One crop as the planner takes it. Days are those of a crop profile.

    up: share of plugs that come up. shelf_keep, tower_keep: share of plants that live through the stage.
    cut_keep: share of plants that live from one cut to the next. bunches: heads or bunches of one plant at a cut.
    wait_weeks: whole weeks that what is ready can wait in the tower before it is cut.
    sites: tower sites one plant takes. tray_plugs: plugs are sown in multiples of this.
    *_minutes: of one person, for one plug sown, one plant moved (to the shelf, into the towers), one head or bunch cut.
    """

    slug: str
    cover_days: int
    shelf_days: int
    tower_days: int
    regrow_days: int | None = None
    cuts: int = 1
    up: float = 1.0
    shelf_keep: float = 1.0
    tower_keep: float = 1.0
    cut_keep: float = 1.0
    bunches: float = 1.0
    wait_weeks: int = 1
    sites: float = 1.0
    tray_plugs: int = 1
    sow_minutes: float = 0.0
    move_minutes: float = 0.0
    cut_minutes: float = 0.0

    @property
    def plants_a_plug(self) -> float:
        """Plants that come into the towers from one plug."""
        return self.up * self.shelf_keep

    @property
    def seed_to_cut_days(self) -> int:
        """Days from sowing to the first cut."""
        return self.cover_days + self.shelf_days + self.tower_days

    def heads_a_plant(self, cut: int) -> float:
        """Heads or bunches that one plant set into a tower gives at its first (0), second (1) … cut."""
        return self.bunches * self.tower_keep * self.cut_keep**cut


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Plants of one crop in one kind of place since a day (under cover: the day sown, and plugs rather than plants).

    cuts: taken so far, the last on last_cut. places: their codes, for those who ask; the planner does not use them.
    """

    crop: str
    where: Where
    plants: float
    since: date
    cuts: int = 0
    last_cut: date | None = None
    places: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """So many heads or bunches of a crop wanted in a week; priority 1 comes first. recipient is "" for anyone."""

    crop: str
    week: int
    heads: float
    priority: int = 2
    recipient: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What there is room for in each week, week 0 first: cells under cover, shelf cells, tower sites, minutes of work.

    minutes is None where work is not limited.
    """

    cover_cells: tuple[float, ...]
    shelf_cells: tuple[float, ...]
    tower_sites: tuple[float, ...]
    minutes: tuple[float, ...] | None = None

    def of(self, where: Where) -> tuple[float, ...]:
        """The cells or sites of one kind of place, by week."""
        return {"cover": self.cover_cells, "shelf": self.shelf_cells, "tower": self.tower_sites}[where]


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """A farm on a day, and what is wanted of it.

    today: nothing is done before it. weeks: length of the plan. closed: weeks in which nobody sows, moves or cuts; what
    falls due in one waits for the next open week. sow_weekday: 0 is Monday; in week 0 the later of it and today.
    previous: plugs by crop and Monday of the plan kept before; the new one departs from it only for a reason.
    """

    today: date
    weeks: int
    crops: tuple[Crop, ...]
    room: Room
    standing: tuple[Standing, ...] = ()
    demand: tuple[Demand, ...] = ()
    closed: frozenset[int] = frozenset()
    sow_weekday: int = 0
    previous: Mapping[tuple[str, date], int] = field(default_factory=dict)

    @property
    def start(self) -> date:
        """Monday of week 0."""
        return self.today - timedelta(days=self.today.weekday())

    def monday(self, week: int) -> date:
        """Monday of a week of the plan."""
        return self.start + timedelta(weeks=week)

    def day_number(self, day: date) -> int:
        """Days from the Monday of week 0."""
        return (day - self.start).days

    def sowing_day(self, week: int) -> int:
        """The day number on which a week's plugs are sown."""
        return max(7 * week + self.sow_weekday, self.day_number(self.today))

    def crop(self, slug: str) -> Crop:
        """One of the crops; KeyError where there is none of that name."""
        return {one.slug: one for one in self.crops}[slug]


@dataclass(frozen=True, slots=True, kw_only=True)
class Short:
    """A wish and how many heads of it are not met."""

    demand: Demand
    heads: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The answer: what to sow, what is expected of it, and how good it is.

    sow: plugs by crop and week. heads: expected heads or bunches cut by crop and week; surplus: of these, nobody's.
    short: wishes not met, each with what is missing. no_room: what stands and cannot be kept, with how many plants.
    cover, shelf, tower: cells and sites taken on the fullest day of each week. minutes: of work by week.
    cost: of this plan in the weights of weights.toml; bound: no plan can cost less; gap: their distance as a share of
    cost, 0.005 is 0.5 %. seconds: how long it took. parts: the cost by what it is for.
    """

    start: date
    weeks: int
    sow: Mapping[str, tuple[int, ...]]
    heads: Mapping[str, tuple[float, ...]]
    surplus: Mapping[str, tuple[float, ...]]
    short: tuple[Short, ...]
    no_room: tuple[tuple[Standing, float], ...]
    cover: tuple[float, ...]
    shelf: tuple[float, ...]
    tower: tuple[float, ...]
    minutes: tuple[float, ...]
    cost: float
    bound: float
    gap: float
    seconds: float
    parts: Mapping[str, float]

    @property
    def wanted_short(self) -> tuple[Short, ...]:
        """The wishes not met, without those for something to spare."""
        return tuple(one for one in self.short if one.demand.priority < TO_SPARE)

    @property
    def missing(self) -> float:
        """Heads and bunches missing over all weeks, what was wanted to spare aside."""
        return sum(one.heads for one in self.wanted_short)

    @property
    def waste(self) -> float:
        """Heads and bunches cut that nobody asked for, over all weeks."""
        return sum(map(sum, self.surplus.values()))
