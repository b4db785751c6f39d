"""Sowing a batch, and counting what came up."""

from __future__ import annotations

from datetime import timedelta

from sqlmodel import col, select

from core.acts.scene import Scene
from core.acts.supplies import use
from core.books import growing
from core.books.ledger import Writing
from core.books.tables import Batch, GerminationCount, Gone, PlantLoss, Standing
from core.notes import Sow, Stand
from core.outcome import Outcome, fact

MANY_TRAYS = 10
"""Sowing more trays than this at once is doubted. Common practice, no source."""


def sow(note: Sow, scene: Scene) -> Outcome:
    """A new batch under the cover; plugs and seed are counted down."""
    plugs = round(note.count if note.count is not None else (note.trays or 0) * scene.vocabulary.tray_cells)
    if plugs > MANY_TRAYS * scene.vocabulary.tray_cells and not scene.sure:
        return Outcome(doubts=(fact("doubt_many_plugs", plugs=plugs, crop=note.crop),))
    crop = growing.crops(scene.ledger)[str(note.crop)]
    writing = scene.enter(note)
    batch = new_batch(scene, writing, crop.slug, plugs, packet=note.packet)
    key = {"batch": batch, "place": scene.vocabulary.cover}
    writing.add(Standing, key, plants=plugs)
    writing.put(Standing, key, since=scene.day)
    remarks = (
        *use(scene, writing, "plugs", plugs),
        *use(scene, writing, "seed", plugs * crop.seeds_per_plug, crop.slug),
    )
    said = fact("sow", plugs=plugs, crop=crop.slug, batch=batch, packet=note.packet)
    return Outcome((said,), remarks, entry=writing.n)


def new_batch(
    scene: Scene, writing: Writing, crop: str, plugs: int, days_ago: int = 0, packet: str | None = None
) -> str:
    """Open a batch and answer its code: crop, day sown, and a letter for each batch of that day."""
    sown_on = scene.day - timedelta(days=days_ago)
    stem = f"{crop}-{sown_on:%y%m%d}"
    query = select(Batch.code).where(Batch.farm_id == scene.ledger.farm_id, col(Batch.code).startswith(stem))
    taken = set(scene.ledger.session.exec(query))
    code = next(
        code
        for code in (f"{stem}{chr(97 + i)}" if i < 26 else f"{stem}{i}" for i in range(10_000))
        if code not in taken
    )
    writing.record(Batch, code=code, crop=crop, sown_on=sown_on, plugs=plugs, packet=packet)
    return code


def stand(note: Stand, scene: Scene) -> Outcome:
    """A germination count. Where it is of one whole batch under the cover, what did not come up leaves the books."""
    up, of = round(note.up or 0), round(note.of or 0)
    if up > of and not scene.sure:
        return Outcome(doubts=(fact("doubt_more_up", up=up, of=of),))
    writing = scene.enter(note)
    batch = _counted_batch(scene, str(note.crop), of)
    writing.record(GerminationCount, crop=note.crop, batch=batch.code if batch else None, up=up, of=of, on=scene.day)
    if batch and up < of:
        place = scene.vocabulary.cover
        writing.add(Standing, {"batch": batch.code, "place": place}, plants=up - of)
        writing.record(Gone, batch=batch.code, place=place, plants=of - up, why="not_up", on=scene.day)
        writing.record(
            PlantLoss,
            crop=note.crop,
            batch=batch.code,
            count=of - up,
            reason="not_up",
            places=[place],
            on=scene.day,
        )
    rate = round(100 * up / of) if of else None
    return Outcome((fact("stand", crop=note.crop, up=up, of=of, rate=rate),), entry=writing.n)


def _counted_batch(scene: Scene, crop: str, of: int) -> Batch | None:
    """The newest batch of just so many plugs still standing whole under the cover."""
    covered = growing.standing(scene.ledger, [scene.vocabulary.cover], crop)
    whole = [batch for stand, batch in covered if stand.plants == batch.plugs == of]
    return whole[-1] if whole else None
