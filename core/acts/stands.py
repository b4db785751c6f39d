"""Taking plants from where they stand and putting them elsewhere, so that none appears or vanishes unsaid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import groupby

from core.acts.scene import Scene
from core.books import growing
from core.books.growing import Stand
from core.books.ledger import Writing
from core.books.tables import Batch, Gone, Place, Standing
from core.places import LIVES, TO_CLEAN, Life


@dataclass(frozen=True, slots=True)
class Plants:
    """Some plants of a batch on their way: where they stood, since when, and how often they were cut."""

    batch: Batch
    plants: int
    place: str | None = None
    since: date | None = None
    cuts: int = 0
    last_cut: date | None = None


def total(stands: Sequence[Stand]) -> int:
    """How many plants these are."""
    return sum(stand.plants for stand, _ in stands)


def life(scene: Scene, code: str) -> Life:
    """The part of its life a plant spends in a place."""
    return LIVES[scene.vocabulary.kind(code)]


def take(scene: Scene, writing: Writing, stands: Sequence[Stand], plants: int) -> list[Plants]:
    """Take plants away, from the first of the stands on; answers which they are, batch by batch and place by place."""
    taken = []
    for stand, batch in stands:
        share = min(stand.plants, plants)
        if share > 0:
            taken.append(Plants(batch, share, stand.place, stand.since, stand.cuts, stand.last_cut))
            writing.add(Standing, {"batch": batch.code, "place": stand.place}, plants=-share)
            plants -= share
    return taken


def gone(scene: Scene, writing: Writing, taken: Sequence[Plants], why: str) -> None:
    """Write down that plants just taken left for good."""
    for one in taken:
        writing.record(Gone, batch=one.batch.code, place=one.place, plants=one.plants, why=why, on=scene.day)


def taken_apart(taken: Sequence[Plants], plants: int) -> tuple[list[Plants], list[Plants]]:
    """The first so many of the plants taken, and the rest."""
    first, rest = [], []
    for one in taken:
        share = min(one.plants, plants)
        plants -= share
        first.append(replace(one, plants=share))
        rest.append(replace(one, plants=one.plants - share))
    return [one for one in first if one.plants], [one for one in rest if one.plants]


def empty(scene: Scene, writing: Writing, codes: Sequence[str]) -> tuple[str, ...]:
    """Towers among the places in which nothing stands any more; they are now to clean."""
    full = {stand.place for stand, _ in growing.standing(scene.ledger, codes)}
    emptied = tuple(code for code in dict.fromkeys(codes) if code not in full and scene.vocabulary.is_tower(code))
    scene.mark(writing, emptied, TO_CLEAN)
    return emptied


def put(scene: Scene, writing: Writing, came: Sequence[Plants], codes: Sequence[str]) -> None:
    """Put plants into places, as evenly as whole plants allow, the first places getting one more."""
    share, more = divmod(sum(one.plants for one in came), len(codes))
    waiting = list(came)
    for number, code in enumerate(codes):
        room = share + (number < more)
        while room:
            first = waiting.pop(0)
            now = min(room, first.plants)
            room -= now
            _stand(scene, writing, replace(first, plants=now), code)
            if first.plants > now:
                waiting.insert(0, replace(first, plants=first.plants - now))


def _stand(scene: Scene, writing: Writing, one: Plants, code: str) -> None:
    """Plants arrive. What they have behind them goes along where they only change places, as from tower to tower."""
    if code in ("towers", "shelves") and not scene.ledger.session.get(Place, (scene.ledger.farm_id, code)):
        writing.record(Place, code=code, kind=code, sites=0, state="ready")
    stays = one.place is not None and life(scene, one.place) == life(scene, code)
    came = {"since": one.since if stays else scene.day, "cuts": one.cuts if stays else 0}
    came["last_cut"] = one.last_cut if stays else None
    key = {"batch": one.batch.code, "place": code}
    there = scene.ledger.session.get(Standing, {"farm_id": scene.ledger.farm_id, **key})
    alone = there is None or not there.plants
    writing.add(Standing, key, plants=one.plants)
    if alone:
        writing.put(Standing, key, **came)


def places_of(taken: Sequence[Plants]) -> tuple[str, ...]:
    """Where the plants stood, each place once."""
    return tuple(place for place, _ in groupby(one.place for one in taken) if place is not None)
