"""Ways of deciding what to sow each week by what can be known: the rule of thumb, and the plan."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from time import perf_counter

from core.planning.growth import Growth
from core.planning.model import TO_SPARE, Crop, Demand, Plan, Problem, Room
from core.planning.simulator.game import Game
from core.planning.simulator.house import House
from core.planning.sowing_plan import plan
from core.tasks import plugs_a_week

Policy = Callable[[House], Mapping[str, int]]
"""Plugs of each crop to sow today, on this farm."""

SPARE = 0.1
"""So much more than the target is planned for. Source: Resh H.M., Hydroponics for the Home Grower, CRC Press, 2015,
ch. 24 (a tenth more is raised)."""


def rule_of_thumb(growths: Mapping[str, Growth]) -> Policy:
    """The week's target divided by what a plug yields, week after week, whatever stands."""

    def sow(house: House) -> Mapping[str, int]:
        """The same each week."""
        return {
            crop: plugs_a_week(target, growths[crop].germination.mean, growths[crop].cuts)
            for crop, target in house.game.targets.items()
        }

    return sow


@dataclass
class ThePlan:
    """The sowing plan, made anew every so many weeks from what then stands, and followed in between.

    horizon: weeks planned. tries: to better each plan, which is then the same on any machine. seconds: spent planning.
    """

    growths: Mapping[str, Growth]
    every: int = 4
    horizon: int = 16
    tries: int = 60
    seconds: float = 0.0
    _kept: Plan | None = field(default=None, repr=False)
    _made: int = 0

    def __call__(self, house: House) -> Mapping[str, int]:
        """What the plan says for this week."""
        if self._kept is None or house.week - self._made >= self.every:
            began = perf_counter()
            self._kept, self._made = plan(self._problem(house), tries=self.tries), house.week
            self.seconds += perf_counter() - began
        return {crop: plugs[house.week - self._made] for crop, plugs in self._kept.sow.items()}

    def _problem(self, house: House) -> Problem:
        game, today = house.game, house.game.day(house.today)
        weeks = range(self.horizon)
        sites = float(game.towers * game.sites_per_tower)
        return Problem(
            today=today,
            weeks=self.horizon,
            crops=tuple(_planned(self.growths[crop], game) for crop in game.targets),
            room=Room(
                cover_cells=tuple(float(game.cover_cells) for _ in weeks),
                shelf_cells=tuple(float(game.shelf_cells) for _ in weeks),
                tower_sites=tuple(sites for _ in weeks),
            ),
            standing=tuple(house.standing()),
            demand=tuple(wish for crop in game.targets for wish in self._wishes(house, crop)),
            closed=frozenset(week - house.week for week in game.closed if 0 <= week - house.week < self.horizon),
            sow_weekday=game.weekdays[0],
            previous=self._previous(),
        )

    def _wishes(self, house: House, crop: str) -> list[Demand]:
        """The target each week, this week's less what is cut already, and something to spare."""
        target = house.game.targets[crop]
        cut = sum(heads for _, heads in house.kept[crop])
        wanted = [max(0.0, target - cut), *(target for _ in range(1, self.horizon))]
        spare = target * SPARE
        return [
            Demand(crop=crop, week=week, heads=heads, priority=priority)
            for week, heads in enumerate(wanted)
            for heads, priority in ((heads, 1), (spare, TO_SPARE))
            if heads > 0
        ]

    def _previous(self) -> dict[tuple[str, date], int]:
        kept = self._kept
        if kept is None:
            return {}
        return {
            (crop, kept.start + timedelta(weeks=week)): plugs
            for crop, row in kept.sow.items()
            for week, plugs in enumerate(row)
        }


def _planned(growth: Growth, game: Game) -> Crop:
    """A crop as the plan takes it, by what is believed; the crew's next day is half a gap away on the whole."""
    late = round(7 / len(game.weekdays) / 2)
    return Crop(
        slug=growth.crop,
        cover_days=growth.cover_days,
        shelf_days=round(growth.nursery_days.mean) - growth.cover_days + late,
        tower_days=round(growth.tower_days.mean) + late,
        regrow_days=round(growth.regrow_days.mean) + late if growth.regrow_days else None,
        cuts=growth.cuts,
        up=growth.germination.mean,
        shelf_keep=growth.shelves.mean,
        tower_keep=growth.towers.mean,
        cut_keep=growth.regrown.mean,
        wait_weeks=game.keeps[growth.crop] // 7,
    )
