"""Plants moved up a stage, lost, and places cleaned."""

from __future__ import annotations

from collections.abc import Sequence

from core.acts.done_tasks import settle
from core.acts.scene import Scene
from core.acts.sowing import new_batch
from core.acts.stands import empty, put, take, total
from core.books import growing
from core.books.growing import Stand
from core.books.tables import Batch, Cleaning, PlantLoss
from core.notes import Clean, Loss, Move
from core.outcome import Fact, Outcome, fact


def move(note: Move, scene: Scene) -> Outcome:
    """Move plants to shelves or into towers, from where they are said to be or where the oldest are.

    Raises:
        Refused: "no_such_place".
    """
    scene.check_places((*note.origin, *note.to))
    crop = growing.crops(scene.ledger)[str(note.crop)]
    stands = _source(note, scene)
    plants = _how_many(note, scene, stands)
    doubts = () if scene.sure else _doubts(note, scene, plants, stands)
    if doubts:
        return Outcome(doubts=doubts)
    writing = scene.enter(note)
    came = take(scene, writing, stands, plants)
    missing = plants - sum(count for _, count in came)
    if missing > 0:
        # The books knew nothing of these: they get a batch of their own, as old as plants are at that stage.
        code = new_batch(
            scene, writing, crop.slug, missing, crop.cover_days + crop.shelf_days * _into_towers(note, scene)
        )
        came.append((_batch(scene, code), missing))
    put(scene, writing, came, note.to)
    remarks = _not_cleaned(note, scene)
    scene.mark(writing, tuple(code for code in note.to if scene.vocabulary.is_tower(code)), "ready")
    settle(scene, writing, "move", note.crop, note.to or note.origin)
    kind = "moved_to_towers" if _into_towers(note, scene) else "moved"
    said = fact(kind, plants=plants, crop=crop.slug, to=note.to)
    return Outcome((said,), remarks, entry=writing.n)


def _batch(scene: Scene, code: str) -> Batch:
    batch = scene.ledger.session.get(Batch, (scene.ledger.farm_id, code))
    if batch is None:
        raise KeyError(code)
    return batch


def _into_towers(note: Move, scene: Scene) -> bool:
    return any(code == "towers" or scene.vocabulary.is_tower(code) for code in note.to)


def _source(note: Move, scene: Scene) -> Sequence[Stand]:
    """Where the plants come from: as said, else the shelves for towers and the cover for shelves, the oldest first."""
    if note.origin:
        wide = {"shelves": [*scene.vocabulary.shelves, "shelves"], "towers": ["towers"]}
        codes = [code for named in note.origin for code in wide.get(named, [named])]
    elif _into_towers(note, scene):
        codes = [*scene.vocabulary.shelves, "shelves"]
    else:
        codes = [scene.vocabulary.cover]
    return growing.standing(scene.ledger, codes, note.crop)


def _how_many(note: Move, scene: Scene, stands: Sequence[Stand]) -> int:
    """As said, by plants or trays; else what fits the towers named, or all that stands there."""
    if note.count is not None:
        return round(note.count)
    there = total(stands)
    if note.trays is not None:
        cells = round(note.trays * scene.vocabulary.tray_cells)
        return min(cells, there) or cells
    sites = sum(scene.vocabulary.sites_per_tower for code in note.to if scene.vocabulary.is_tower(code))
    return (min(sites, there) or sites) if sites else there


def _doubts(note: Move, scene: Scene, plants: int, stands: Sequence[Stand]) -> tuple[Fact, ...]:
    towers = [code for code in note.to if scene.vocabulary.is_tower(code)]
    inside = growing.standing(scene.ledger, towers)
    if inside:
        held = tuple(dict.fromkeys(stand.place for stand, _ in inside))
        return (fact("doubt_still_planted", places=held, others=sorted({batch.crop for _, batch in inside})),)
    sites = len(towers) * scene.vocabulary.sites_per_tower
    if towers and len(towers) == len(note.to) and plants > sites:
        return (fact("doubt_more_than_sites", plants=plants, sites=sites, places=note.to),)
    if plants <= 0:
        return (fact("doubt_none_to_move", crop=note.crop),)
    if plants > total(stands) and stands:
        return (fact("doubt_fewer_there", plants=plants, there=total(stands), crop=note.crop),)
    return ()


def _not_cleaned(note: Move, scene: Scene) -> tuple[Fact, ...]:
    dirty = [code for code, place in growing.places(scene.ledger, note.to).items() if place.state == "to clean"]
    return (fact("not_cleaned", places=tuple(dirty)),) if dirty else ()


def loss(note: Loss, scene: Scene) -> Outcome:
    """Plants lost outside a harvest leave the places they stood in.

    Raises:
        Refused: "no_such_place".
    """
    scene.check_places(note.places)
    lost = round(note.count or 0)
    stands = growing.standing(scene.ledger, note.places, note.crop) if note.places else []
    if note.places and lost > total(stands) and not scene.sure:
        return Outcome(
            doubts=(fact("doubt_lost_more", count=lost, crop=note.crop, plants=total(stands), places=note.places),)
        )
    writing = scene.enter(note)
    came = take(scene, writing, stands, lost)
    writing.record(
        PlantLoss,
        crop=note.crop,
        batch=came[0][0].code if len(came) == 1 else None,
        count=lost,
        reason=note.reason or "other",
        places=list(note.places),
        on=scene.day,
    )
    emptied = empty(scene, writing, note.places) if came else ()
    reason = note.reason if note.reason != "other" else None
    said = fact("loss", count=lost, crop=note.crop, reason=reason, places=note.places)
    return Outcome((said,), (fact("to_clean", places=emptied),) if emptied else (), entry=writing.n)


def clean(note: Clean, scene: Scene) -> Outcome:
    """Something was cleaned; towers are ready to be planted again.

    Raises:
        Refused: "no_such_place".
    """
    scene.check_places(note.places)
    held = growing.standing(scene.ledger, [code for code in note.places if scene.vocabulary.is_tower(code)])
    if held and not scene.sure:
        still = tuple(dict.fromkeys(stand.place for stand, _ in held))
        return Outcome(doubts=(fact("doubt_cleaned_planted", places=still, others=sorted({b.crop for _, b in held})),))
    writing = scene.enter(note)
    what = note.what or "towers"
    writing.record(Cleaning, what=what, count=note.count, places=list(note.places), on=scene.day)
    planted = {stand.place for stand, _ in held}
    scene.mark(writing, tuple(code for code in note.places if code not in planted), "ready")
    settle(scene, writing, "clean", None, note.places)
    remarks = (fact("which_towers"),) if what == "towers" and not note.places else ()
    if note.places:
        return Outcome((fact("clean_places", places=note.places),), remarks, entry=writing.n)
    return Outcome((fact("clean", what=what, count=note.count),), remarks, entry=writing.n)
