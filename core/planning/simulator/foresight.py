"""Sowing with the luck of every seed known beforehand: a yardstick, which no plan can pass by much.

The season of each crop is one integer programme, one crop after another in the room that is left. Unknown is how far
each batch is sown: its first tower, its second, and so on, each with the plugs it takes, the days it stands and the
heads it gives, all known. What is cut serves its week or, as long as it keeps, a later one; room is that of one day of
each week. A head short costs far more than a plug.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from math import ceil
from time import perf_counter

import numpy as np

from core.planning.growth import Growth
from core.planning.programme import Programme, Terms
from core.planning.simulator.game import Game
from core.planning.simulator.house import House
from core.planning.simulator.nature import BatchLuck
from core.planning.solver import solve
from core.tasks import plugs_a_week

A_HEAD_SHORT = 100.0
A_PLUG = 1.0
TIME_LIMIT_S = 60.0
TRIES = 50
GAP = 0.01

MOST_TIMES = 2.5
"""A batch is at most so many times what the rule of thumb sows."""


@dataclass(frozen=True, slots=True)
class KnownTower:
    """One tower of a batch: the plugs it takes beyond the towers before it, the days its plants are in each kind of
    place (from, to before), and the heads it gives by day."""

    plugs: int
    stays: Mapping[str, tuple[int, int]]
    heads: Mapping[int, int]


@dataclass
class Foresight:
    """Knows how every batch will fare. seconds: spent on the programme of the season."""

    growths: Mapping[str, Growth]
    seconds: float = 0.0
    _sow: dict[tuple[str, int], float] = field(default_factory=dict, repr=False)

    def __call__(self, house: House) -> Mapping[str, int]:
        """What the season's programme says for this week."""
        if not self._sow:
            self._decide(house)
        return {crop: round(self._sow[crop, house.week]) for crop in house.game.targets}

    def _decide(self, house: House) -> None:
        began, game, room = perf_counter(), house.game, Room(house.game)
        for crop, target in game.targets.items():
            season = _Season(game, crop, room)
            usual = plugs_a_week(target, self.growths[crop].germination.mean, self.growths[crop].cuts)
            for week in range(house.week, game.all_weeks):
                sown = game.open_from(7 * week + game.weekdays[0])
                season.batch(week, known_towers(house.luck.of(crop, week), game, sown, usual))
            for week, plugs in season.solve().items():
                self._sow[crop, week] = plugs
        self.seconds = perf_counter() - began


class Room:
    """Cells and towers that are left in each week, one crop after another being decided."""

    def __init__(self, game: Game) -> None:
        self.all = {"cover": game.cover_cells, "shelf": game.shelf_cells, "tower": game.towers}
        self.taken: dict[tuple[str, int], float] = defaultdict(float)

    def left(self, where: str, week: int) -> float:
        """What is left of one kind of place."""
        return max(0.0, self.all[where] - self.taken[where, week])


def known_towers(luck: BatchLuck, game: Game, sown: int, usual: int) -> list[KnownTower]:
    """A batch tower by tower, where nothing has to wait for room; `usual` plugs are what the rule of thumb sows."""
    most = ceil(MOST_TIMES * usual) + game.sites_per_tower
    up = np.cumsum(luck.plug[:most] < luck.up)
    out = np.concatenate([[0], np.cumsum(luck.plant[:most] < luck.keep)])[up]
    off_cover = game.open_from(sown + luck.nature.cover_days)
    into = max(off_cover, game.open_from(sown + luck.nursery_days()))
    towers, before = [], 0
    for number in range(int(out[-1]) // game.sites_per_tower):
        plugs = int(np.searchsorted(out, (number + 1) * game.sites_per_tower)) + 1
        heads = _heads(luck, game, into, number)
        stays = {"cover": (sown, off_cover), "shelf": (off_cover, into), "tower": (into, max(heads) + 1)}
        towers.append(KnownTower(plugs - before, stays, heads))
        before = plugs
    return towers


def _heads(luck: BatchLuck, game: Game, into: int, number: int) -> dict[int, int]:
    left, day, found = game.sites_per_tower, float(into), {}
    for cut in range(luck.nature.cuts):
        wave = luck.nature.season.on(game.day(into)) if cut == 0 else 0.0
        day = game.open_from(day + luck.tower_days(number, cut) + wave)
        left = luck.survivors(cut, number * game.sites_per_tower, left)
        found[int(day)] = luck.heads(number, cut, left)
    return found


class _Season:
    """The programme of one crop while it is put together."""

    def __init__(self, game: Game, crop: str, room: Room) -> None:
        self.game, self.crop, self.room, self.programme = game, crop, room, Programme()
        self.sown: dict[int, Terms] = {}
        self.ready: dict[tuple[int, int], Terms] = defaultdict(list)
        self.taken: dict[tuple[str, int], Terms] = defaultdict(list)

    def batch(self, week: int, towers: list[KnownTower]) -> None:
        """What may be sown in a week; a tower is never filled before the one before it."""
        self.sown[week], before = [], None
        for tower in towers:
            column = self.programme.column(A_PLUG * tower.plugs, 1.0, whole=True)
            if before is not None:
                self.programme.row([(before, 1.0), (column, -1.0)], low=0.0)
            self.sown[week].append((column, float(tower.plugs)))
            self._gives(column, tower)
            self._takes(column, tower)
            before = column

    def _gives(self, column: int, tower: KnownTower) -> None:
        for day, heads in tower.heads.items():
            until = max(day // 7, (day + self.game.keeps[self.crop]) // 7)
            self.ready[day // 7, until].append((column, float(heads)))

    def _takes(self, column: int, tower: KnownTower) -> None:
        """Plugs under cover on a week's sowing day, plants on the shelves and towers on its last working day."""
        units = {"cover": float(tower.plugs), "shelf": float(self.game.sites_per_tower), "tower": 1.0}
        for where, (first, until) in tower.stays.items():
            weekday = self.game.weekdays[0 if where == "cover" else -1]
            for week in range(first // 7, until // 7 + 1):
                if first <= 7 * week + weekday < until:
                    self.taken[where, week].append((column, units[where]))

    def solve(self) -> dict[int, float]:
        """Plugs by week; their room is then taken."""
        for (where, week), terms in self.taken.items():
            self.programme.row(terms, high=self.room.left(where, week))
        self._share_out()
        in_turn = [[column] for _, terms in sorted(self.sown.items()) for column, _ in terms]
        found = solve(self.programme, TIME_LIMIT_S, gap=GAP, order=in_turn, tries=TRIES)
        for place, terms in self.taken.items():
            self.room.taken[place] += found.of(terms)
        return {week: found.of(terms) for week, terms in self.sown.items()}

    def _share_out(self) -> None:
        """What is ready serves the weeks it keeps for; what a week still lacks is short."""
        served: dict[int, Terms] = defaultdict(list)
        for (week, until), terms in self.ready.items():
            uses = [(later, self.programme.column()) for later in range(week, until + 1)]
            self.programme.row([*((use, 1.0) for _, use in uses), *((at, -heads) for at, heads in terms)], high=0.0)
            for later, use in uses:
                served[later].append((use, 1.0))
        for week in range(self.game.all_weeks):
            short = self.programme.column(A_HEAD_SHORT)
            self.programme.row([*served[week], (short, 1.0)], low=self.game.targets[self.crop])
