"""What the farm has counted of how its crops grow, drawn from the journal: days, survival, bunches a plant.

Nobody is asked to count anything for it: sowing, moving and cutting are on the books anyway.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Set
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from sqlmodel import col, select

from core.books.growing import places, standing
from core.books.ledger import Ledger
from core.books.tables import Batch, Cut, Entry, GerminationCount, Gone, Posting
from core.calendar import local_day
from core.places import LIVES
from core.planning.growth import Counts, Tally

NURSERY = ("cover", "shelf")


@dataclass
class _Tower:
    """Plants of a batch in one place where they are cut, as the journal is read on."""

    since: date | None = None
    plants: int = 0
    came: int = 0
    last: date | None = None
    cuts: int = 0


def counts(ledger: Ledger, zone: ZoneInfo) -> Mapping[str, Counts]:
    """What was counted of each crop, all the journal long, without what was taken back."""
    seen: dict[str, Tally] = defaultdict(Tally)
    batches = {one.code: one for one in ledger.session.exec(select(Batch).where(Batch.farm_id == ledger.farm_id))}
    for count in ledger.session.exec(select(GerminationCount).where(GerminationCount.farm_id == ledger.farm_id)):
        seen[count.crop].germination.append((count.up, count.of))
    lives = {code: LIVES[place.kind] for code, place in places(ledger).items()}
    _Reading(ledger, zone, batches, {code for code, life in lives.items() if life == "tower"}, seen).read()
    _shelves(ledger, batches, {code for code, life in lives.items() if life in NURSERY}, seen)
    return {crop: one.counts() for crop, one in seen.items()}


class _Reading:
    """The journal's changes of what stands, read from the first to the last."""

    def __init__(
        self, ledger: Ledger, zone: ZoneInfo, batches: Mapping[str, Batch], growing: Set[str], seen: dict[str, Tally]
    ) -> None:
        self.ledger, self.zone, self.batches, self.growing, self.seen = ledger, zone, batches, growing, seen
        self.lost = _lost_at_cuts(ledger)
        self.bunches = _bunches(ledger)
        self.towers: dict[str, _Tower] = defaultdict(_Tower)
        self.raised: set[str] = set()

    def read(self) -> None:
        """Fill in what was seen."""
        for entry, postings in _by_entry(self.ledger):
            cut: dict[str, int] = {}
            for posting in postings:
                batch, place = posting.row.split("|")
                if place in self.growing:
                    self._change(entry, self.batches[batch], place, posting, cut)
            if entry.n in self.bunches and cut:
                self.seen[self.bunches[entry.n][0]].picked.append(self.bunches[entry.n][1] / sum(cut.values()))

    def _change(self, entry: Entry, batch: Batch, place: str, posting: Posting, cut: dict[str, int]) -> None:
        tower, value = self.towers[posting.row], posting.value
        came = value.get("plants", 0)
        if posting.verb == "record":
            tower.cuts, tower.last = value["cuts"], _day(value["last_cut"])
        if "since" in value:
            self._came(tower, batch, _day(value["since"]), posting.verb == "put")
        if came > 0:
            tower.plants, tower.came = tower.plants + came, tower.came + came
        elif came < 0:
            self._left(entry, tower, batch, place, -came)
        if value.get("cuts", 0) > 0 and posting.verb == "add":
            cut[posting.row] = tower.plants
            self._cut(tower, batch, local_day(entry.said_at, self.zone), tower.plants)

    def _came(self, tower: _Tower, batch: Batch, since: date | None, anew: bool) -> None:
        """Plants came into the towers; a place can be planted from one batch twice."""
        tower.since = since
        if anew:
            tower.came, tower.cuts, tower.last = tower.plants, 0, None
        if since is not None and batch.code not in self.raised:
            self.raised.add(batch.code)
            self.seen[batch.crop].nursery_days.append((since - batch.sown_on).days)

    def _left(self, entry: Entry, tower: _Tower, batch: Batch, place: str, plants: int) -> None:
        tower.plants -= plants
        if entry.act == "harvest" and tower.plants <= 0 and tower.cuts == 0:
            lost = self.lost.get((entry.n, batch.code, place), 0)
            self._cut(tower, batch, local_day(entry.said_at, self.zone), plants - lost)

    def _cut(self, tower: _Tower, batch: Batch, day: date, living: int) -> None:
        """The first cut, or a further one, of plants of which so many live; `came` is then counted from it."""
        seen, begun = self.seen[batch.crop], tower.last if tower.cuts else tower.since
        if begun is not None and tower.came > 0:
            (seen.regrown if tower.cuts else seen.towers).append((living, tower.came))
            (seen.regrow_days if tower.cuts else seen.tower_days)[batch.code, begun].append((day - begun).days)
        tower.cuts, tower.last, tower.came = tower.cuts + 1, day, living


def _by_entry(ledger: Ledger) -> Iterator[tuple[Entry, list[Posting]]]:
    """Entries that changed what stands, with these changes, in order; those taken back are left out."""
    taken_back = select(Entry.reverses).where(Entry.farm_id == ledger.farm_id, col(Entry.reverses).is_not(None))
    query = (
        select(Entry, Posting)
        .join(Entry, (col(Entry.farm_id) == Posting.farm_id) & (col(Entry.n) == Posting.entry))
        .where(Posting.farm_id == ledger.farm_id, Posting.account == "standing")
        .where(col(Posting.entry).not_in(taken_back))
        .order_by(col(Posting.entry), col(Posting.part))
    )
    now: Entry | None = None
    changes: list[Posting] = []
    for entry, posting in ledger.session.exec(query):
        if now is not None and entry.n != now.n:
            yield now, changes
            changes = []
        now = entry
        changes.append(posting)
    if now is not None:
        yield now, changes


def _lost_at_cuts(ledger: Ledger) -> dict[tuple[int, str, str], int]:
    """Plants that were missing when their place was cut: (entry, batch, place) -> how many."""
    found: dict[tuple[int, str, str], int] = defaultdict(int)
    for one in ledger.session.exec(select(Gone).where(Gone.farm_id == ledger.farm_id, Gone.why == "gap")):
        found[one.entry, one.batch, one.place] += one.plants
    return found


def _bunches(ledger: Ledger) -> dict[int, tuple[str, float]]:
    """Cuts that were counted: entry -> crop and bunches."""
    cuts = ledger.session.exec(select(Cut).where(Cut.farm_id == ledger.farm_id, Cut.plants == 0))
    return {one.entry: (one.crop, one.count) for one in cuts if one.count}


def _shelves(ledger: Ledger, batches: Mapping[str, Batch], nursery: Set[str], seen: dict[str, Tally]) -> None:
    """Plants that left the shelves alive, of those that came up, for batches of which none is there any more."""
    there = {batch.code for _, batch in standing(ledger, nursery)}
    gone: dict[str, list[Gone]] = defaultdict(list)
    for one in ledger.session.exec(select(Gone).where(Gone.farm_id == ledger.farm_id)):
        gone[one.batch].append(one)
    for code, left in gone.items():
        came_up = batches[code].plugs - sum(one.plants for one in left if one.why == "not_up")
        lost = sum(one.plants for one in left if one.why == "lost" and one.place in nursery)
        if code not in there and any(one.why == "not_up" for one in left) and came_up > 0:
            seen[batches[code].crop].shelves.append((came_up - lost, came_up))


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None
