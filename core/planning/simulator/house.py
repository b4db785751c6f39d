"""The farm that is played: trays under cover, on shelves, plants in towers, and a crew that cuts what is ripe.

A day takes some lists and loops, no arrays: a year of eight crops is a few thousand towers planted and cut, which
plain Python walks through in a fraction of a second.

What the crew does is what the daily tasks say: cut what is ripe, clean, transplant what is due, uncover, sow. What is
cut and not wanted that week keeps for the crop's window and is then wasted. Seedlings that find no tower wait, and are
thrown out when they are too old.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import ceil

from core.planning.model import Standing
from core.planning.simulator.game import Game
from core.planning.simulator.nature import MOST_PLUGS, BatchLuck, Luck
from core.planning.simulator.record import Record
from core.sizing import sizes

TOO_OLD_DAYS = 21
"""Seedlings that have waited so long for a place are thrown out. Common practice, no source."""


@dataclass(slots=True)
class Tray:
    """Plants of one batch in the nursery; under cover they are plugs.

    counted: whether what is lost where they stand is taken off already. gone: plants that went on into towers before.
    """

    crop: str
    luck: BatchLuck
    sown: int
    plants: int
    covered: bool = True
    counted: bool = False
    gone: int = 0

    @property
    def due(self) -> float:
        """The day they move on."""
        days = self.luck.nature.cover_days if self.covered else self.luck.nursery_days()
        return self.sown + days


@dataclass(slots=True)
class Tower:
    """Plants of one batch in one tower. `number` and `first` say which tower and plants of the batch these are."""

    crop: str
    luck: BatchLuck
    number: int
    first: int
    plants: int
    since: int
    ripe: float
    cut: int = 0
    last_cut: int | None = None


Sow = Callable[["House"], Mapping[str, int]]
"""What decides the plugs of each crop on a sowing day."""


class House:
    """A farm while it is played."""

    def __init__(self, game: Game, luck: Luck) -> None:
        weeks = range(game.all_weeks)
        self.game, self.luck, self.today = game, luck, 0
        self.nursery: list[Tray] = []
        self.towers: list[Tower] = []
        self.dirty = 0
        self.kept: dict[str, list[tuple[int, float]]] = {crop: [] for crop in game.targets}
        self.record = Record(
            ripe={crop: [0 for _ in weeks] for crop in game.targets},
            met={crop: [0.0 for _ in weeks] for crop in game.targets},
            wasted=[0.0 for _ in weeks],
            thrown=[0 for _ in weeks],
            minutes=[0.0 for _ in weeks],
            taken=[0.0 for _ in weeks],
        )
        self._minutes = {what: size.minutes for what, size in sizes().items()}

    @property
    def week(self) -> int:
        """The week being played."""
        return self.today // 7

    def play(self, sow: Sow, until: int | None = None) -> Record:
        """Play on to the end, or to a day."""
        last = 7 * self.game.all_weeks if until is None else until
        while self.today < last:
            if self.game.is_open(self.today):
                self._work()
                if self.today % 7 == self.game.weekdays[0]:
                    self._sow(sow(self))
            self.record.taken[self.week] += len(self.towers) / self.game.towers / 7
            if self.today % 7 == 6:
                self._share_out()
            self.today += 1
        return self.record

    def standing(self) -> list[Standing]:
        """What stands, as the plan and the forecast take it."""
        day = self.game.day
        raised = [
            Standing(
                crop=one.crop,
                where="cover" if one.covered else "shelf",
                plants=one.plants,
                since=day(one.sown + (0 if one.covered else one.luck.nature.cover_days)),
            )
            for one in self.nursery
        ]
        return raised + [
            Standing(
                crop=one.crop,
                where="tower",
                plants=one.plants,
                since=day(one.since),
                cuts=one.cut,
                last_cut=None if one.last_cut is None else day(one.last_cut),
            )
            for one in self.towers
        ]

    def plants(self, crop: str) -> int:
        """Plants (or plugs) of a crop that stand."""
        raised = sum(one.plants for one in self.nursery if one.crop == crop)
        return raised + sum(one.plants for one in self.towers if one.crop == crop)

    def _work(self) -> None:
        for tower in [one for one in self.towers if one.ripe <= self.today]:
            self._cut(tower)
        self._spend("clean", self.dirty)
        self.dirty = 0
        for tray in sorted((one for one in self.nursery if one.due <= self.today), key=lambda one: one.due):
            self._uncover(tray) if tray.covered else self._transplant(tray)
        self.nursery = [one for one in self.nursery if one.plants]

    def _cut(self, tower: Tower) -> None:
        living = tower.luck.survivors(tower.cut, tower.first, tower.plants)
        self.record.lost[tower.crop] += tower.plants - living
        heads = tower.luck.heads(tower.number, tower.cut, living)
        self.record.ripe[tower.crop][self.week] += heads
        self.kept[tower.crop].append((self.today, heads))
        self._spend("harvest", 1)
        self._see(tower, living, heads)
        tower.plants, tower.cut, tower.last_cut = living, tower.cut + 1, self.today
        if living and tower.cut < tower.luck.nature.cuts:
            tower.ripe = self.today + tower.luck.tower_days(tower.number, tower.cut)
            return
        self.record.picked_out[tower.crop] += living
        self.towers.remove(tower)
        self.dirty += 1

    def _see(self, tower: Tower, living: int, heads: int) -> None:
        """Count a cut, before it is taken off the tower."""
        seen = self.record.seen[tower.crop]
        (seen.regrown if tower.cut else seen.towers).append((living, tower.plants))
        since = tower.since if tower.last_cut is None else tower.last_cut
        days = seen.regrow_days if tower.cut else seen.tower_days
        days[tower.crop, self.game.day(since)].append(self.today - since)
        if living and tower.luck.nature.picked:
            seen.picked.append(heads / living)

    def _uncover(self, tray: Tray) -> None:
        """Onto the shelves when there is room for all; what did not come up is lost."""
        if not tray.counted:
            up = tray.luck.come_up(tray.plants)
            self.record.seen[tray.crop].germination.append((up, tray.plants))
            self._lose(tray, tray.plants - up)
            tray.counted = True
        on_shelves = sum(one.plants for one in self.nursery if not one.covered)
        if on_shelves + tray.plants <= self.game.shelf_cells:
            tray.covered = tray.counted = False
            self._spend("move", ceil(tray.plants / self.game.tray_cells))
        elif self._too_old(tray):
            self._throw_out(tray)

    def _transplant(self, tray: Tray) -> None:
        """Into clean towers, as many as there are."""
        if not tray.counted:
            left = tray.luck.leave_shelves(tray.plants)
            self.record.seen[tray.crop].shelves.append((left, tray.plants))
            self._lose(tray, tray.plants - left)
            tray.counted = True
        clean = self.game.towers - len(self.towers) - self.dirty
        if tray.plants and clean > 0 and not tray.gone:
            self.record.seen[tray.crop].nursery_days.append(self.today - tray.sown)
        while tray.plants and clean > 0:
            self._plant(tray)
            clean -= 1
        if tray.plants and self._too_old(tray):
            self._throw_out(tray)

    def _plant(self, tray: Tray) -> None:
        """One tower."""
        plants, number = min(tray.plants, self.game.sites_per_tower), tray.gone // self.game.sites_per_tower
        wave = tray.luck.nature.season.on(self.game.day(self.today))
        ripe = self.today + tray.luck.tower_days(number, 0) + wave
        self.towers.append(Tower(tray.crop, tray.luck, number, tray.gone, plants, self.today, ripe))
        tray.plants, tray.gone = tray.plants - plants, tray.gone + plants
        self._spend("move", 1)

    def _too_old(self, tray: Tray) -> bool:
        return self.today - tray.due > TOO_OLD_DAYS

    def _lose(self, tray: Tray, plants: int) -> None:
        self.record.lost[tray.crop] += plants
        tray.plants -= plants

    def _throw_out(self, tray: Tray) -> None:
        self.record.thrown[self.week] += tray.plants
        self._lose(tray, tray.plants)

    def _sow(self, plugs: Mapping[str, int]) -> None:
        """As decided, while there is room under cover; the crops in the order given."""
        room = self.game.cover_cells - sum(one.plants for one in self.nursery if one.covered)
        for crop, wanted in plugs.items():
            sown = min(wanted, room, MOST_PLUGS)
            if sown > 0:
                self.nursery.append(Tray(crop, self.luck.of(crop, self.week), self.today, sown))
                self.record.sown[crop] += sown
                self._spend("sow", sown / self.game.tray_cells)
                room -= sown

    def _share_out(self) -> None:
        """At the end of a week what was asked for is given, the oldest first; what has been kept too long is waste."""
        for crop, target in self.game.targets.items():
            wanted, left = target, []
            for cut, heads in self.kept[crop]:
                given = min(wanted, heads)
                wanted, heads = wanted - given, heads - given
                if heads and self.today + 1 - cut <= self.game.keeps[crop]:
                    left.append((cut, heads))
                else:
                    self.record.wasted[self.week] += heads
            self.kept[crop] = left
            self.record.met[crop][self.week] = target - wanted

    def _spend(self, what: str, units: float) -> None:
        self.record.minutes[self.week] += self._minutes[what] * units
