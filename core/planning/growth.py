"""How one crop does on one farm: what is believed of its shares and days, before and after the farm's own counts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from math import hypot
from typing import Protocol

from core.crops import CropDays
from core.planning.model import Crop
from core.planning.rates import Level, Share, assumed, learn_level, learn_share, level, share
from core.planning.season import NONE, Season, learn_season

WHOLE = "whole head"
"""The kind of crop of which one plant is one head."""

Dated = tuple[date, tuple[float, ...]]
"""The days that the towers of one batch took, and when they began."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Growth:
    """What is believed of one crop.

    germination: of plugs sown. shelves: of what came up, until the towers. towers: until the first cut. regrown: from
    one cut to the next.
    nursery_days: from sowing to the towers. tower_days: from there to the first cut. regrow_days: between cuts.
    picked: bunches a plant at one cut; None for whole heads, of which a plant is one.
    season: days more or less in the towers through the year.
    """

    crop: str
    cover_days: int
    cuts: int
    germination: Share
    shelves: Share
    towers: Share
    regrown: Share
    nursery_days: Level
    tower_days: Level
    regrow_days: Level | None = None
    picked: Level | None = None
    season: Season = NONE


@dataclass(frozen=True, slots=True)
class Counts:
    """What a farm has counted of one crop. Shares as (did well, of so many) a batch or cut; bunches a plant a cut."""

    germination: Sequence[tuple[float, float]] = ()
    shelves: Sequence[tuple[float, float]] = ()
    towers: Sequence[tuple[float, float]] = ()
    regrown: Sequence[tuple[float, float]] = ()
    nursery_days: Sequence[float] = ()
    tower_days: Sequence[Dated] = ()
    regrow_days: Sequence[Dated] = ()
    picked: Sequence[float] = field(default=())


@dataclass
class Tally:
    """What is gathered of one crop on the way to its Counts; towers by what shared its luck, and since when."""

    germination: list[tuple[float, float]] = field(default_factory=list)
    shelves: list[tuple[float, float]] = field(default_factory=list)
    towers: list[tuple[float, float]] = field(default_factory=list)
    regrown: list[tuple[float, float]] = field(default_factory=list)
    nursery_days: list[float] = field(default_factory=list)
    tower_days: dict[tuple[str, date], list[float]] = field(default_factory=lambda: defaultdict(list))
    regrow_days: dict[tuple[str, date], list[float]] = field(default_factory=lambda: defaultdict(list))
    picked: list[float] = field(default_factory=list)

    def counts(self) -> Counts:
        """The same as the forecast learns from it."""
        return Counts(
            germination=self.germination,
            shelves=self.shelves,
            towers=self.towers,
            regrown=self.regrown,
            nursery_days=self.nursery_days,
            tower_days=[(since, tuple(days)) for (_, since), days in self.tower_days.items()],
            regrow_days=[(since, tuple(days)) for (_, since), days in self.regrow_days.items()],
            picked=self.picked,
        )


NINE_IN_TEN = 1.645
"""Half the width of what nine in ten lie in, in standard deviations of a normal distribution."""


class Profile(CropDays, Protocol):
    """What is needed of a crop profile, or of a farm's own copy of it."""

    @property
    def slug(self) -> str: ...  # noqa: D102
    @property
    def kind(self) -> str: ...  # noqa: D102
    @property
    def germination(self) -> float: ...  # noqa: D102
    @property
    def spread(self) -> Mapping[str, float]: ...  # noqa: D102
    @property
    def losses(self) -> Mapping[str, float]: ...  # noqa: D102


def published(crop: Profile) -> Growth:
    """What is believed of a crop from its profile alone."""
    regrow = level("regrow_days", crop.regrow_days, _spread(crop, "regrow")) if crop.regrow_days else None
    bunches = assumed()["picked"]
    picked = None if crop.kind == WHOLE else level("picked", bunches["level"], bunches["spread"])
    return Growth(
        crop=crop.slug,
        cover_days=crop.cover_days,
        cuts=crop.cuts,
        germination=share("germination", crop.germination),
        shelves=share("shelves", 1 - crop.losses.get("shelf", 0.0)),
        towers=share("towers", 1 - crop.losses.get("tower", 0.0)),
        regrown=share("regrown", 1 - crop.losses.get("regrow", 0.0)),
        nursery_days=level("nursery_days", crop.cover_days + crop.shelf_days, _spread(crop, "cover", "shelf")),
        tower_days=level("tower_days", crop.tower_days, _spread(crop, "tower")),
        regrow_days=regrow,
        picked=picked,
    )


def _spread(crop: Profile, *stages: str) -> float:
    """How far the days of some stages together lie apart, one standard deviation. [days]"""
    return hypot(*(crop.spread.get(stage, 0.0) for stage in stages)) / NINE_IN_TEN


def learn(before: Growth, counts: Counts) -> Growth:
    """What is believed of a crop after the farm's own counts.

    The season is learnt from the days in the towers, and the days from what is left of them without it.
    """
    alike = 1 - assumed()["tower_days"]["within"]
    season = learn_season(
        [since for since, _ in counts.tower_days],
        [sum(days) / len(days) for _, days in counts.tower_days],
        before.tower_days.spread,
    )
    regrow = before.regrow_days and learn_level(before.regrow_days, _steady(counts.regrow_days, NONE), alike)
    return replace(
        before,
        germination=learn_share(before.germination, counts.germination),
        shelves=learn_share(before.shelves, counts.shelves),
        towers=learn_share(before.towers, counts.towers),
        regrown=learn_share(before.regrown, counts.regrown),
        nursery_days=learn_level(before.nursery_days, [[days] for days in counts.nursery_days]),
        tower_days=learn_level(before.tower_days, _steady(counts.tower_days, season), alike),
        regrow_days=regrow,
        picked=before.picked and learn_level(before.picked, [[one] for one in counts.picked]),
        season=season,
    )


def _steady(counted: Sequence[Dated], season: Season) -> list[list[float]]:
    """Days without what the season adds to them."""
    return [[one - season.on(since) for one in days] for since, days in counted]


def as_planned(crop: Crop, growth: Growth) -> Crop:
    """A crop for the sowing plan with what the farm has learnt in place of its profile's shares and days."""
    in_towers = round(growth.tower_days.mean)
    nursery = max(round(growth.nursery_days.mean), crop.cover_days)
    return replace(
        crop,
        up=growth.germination.mean,
        shelf_keep=growth.shelves.mean,
        tower_keep=growth.towers.mean,
        cut_keep=growth.regrown.mean,
        shelf_days=nursery - crop.cover_days,
        tower_days=in_towers,
        regrow_days=round(growth.regrow_days.mean) if growth.regrow_days else None,
    )
