"""Taking plants from where they stand and putting them elsewhere, so that none appears or vanishes unsaid."""

from __future__ import annotations

from collections.abc import Sequence

from core.acts.scene import Scene
from core.books import growing
from core.books.growing import Stand
from core.books.ledger import Writing
from core.books.tables import Batch, Place, Standing


def total(stands: Sequence[Stand]) -> int:
    """How many plants these are."""
    return sum(stand.plants for stand, _ in stands)


def take(scene: Scene, writing: Writing, stands: Sequence[Stand], plants: int) -> list[tuple[Batch, int]]:
    """Take plants away, from the first of the stands on; answers which batches they came from, and how many."""
    taken = []
    for stand, batch in stands:
        share = min(stand.plants, plants)
        if share > 0:
            writing.add(Standing, {"batch": batch.code, "place": stand.place}, plants=-share)
            taken.append((batch, share))
            plants -= share
    return taken


def empty(scene: Scene, writing: Writing, codes: Sequence[str]) -> tuple[str, ...]:
    """Towers among the places in which nothing stands any more; they are now to clean."""
    full = {stand.place for stand, _ in growing.standing(scene.ledger, codes)}
    emptied = tuple(code for code in codes if code not in full and scene.vocabulary.is_tower(code))
    scene.mark(writing, emptied, "to clean")
    return emptied


def put(scene: Scene, writing: Writing, came: Sequence[tuple[Batch, int]], codes: Sequence[str]) -> None:
    """Put plants of batches into places, as evenly as whole plants allow, the first places getting one more."""
    plants = sum(count for _, count in came)
    share, more = divmod(plants, len(codes))
    waiting = [(batch, count) for batch, count in came]
    for number, code in enumerate(codes):
        room = share + (number < more)
        while room and waiting:
            batch, count = waiting.pop(0)
            now = min(room, count)
            room -= now
            _stand(scene, writing, batch, code, now)
            if count > now:
                waiting.insert(0, (batch, count - now))


def _stand(scene: Scene, writing: Writing, batch: Batch, code: str, plants: int) -> None:
    if code in ("towers", "shelves") and not scene.ledger.session.get(Place, (scene.ledger.farm_id, code)):
        writing.record(Place, code=code, kind=code, sites=0, state="ready")
    writing.add(Standing, {"batch": batch.code, "place": code}, plants=plants)
    writing.put(Standing, {"batch": batch.code, "place": code}, since=scene.day)
