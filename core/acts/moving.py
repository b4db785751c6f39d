"""Plants moved up a stage, lost, and places cleaned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from core.acts.done_tasks import settle
from core.acts.scene import Scene
from core.acts.sowing import new_batch
from core.acts.stands import Plants, empty, gone, places_of, put, take, total
from core.books import growing
from core.books.growing import Stand
from core.books.ledger import Writing
from core.books.tables import Batch, Crop, PlantLoss
from core.errors import Refused
from core.notes import Loss, Move
from core.outcome import Fact, Outcome, fact
from core.places import OUT


def move(note: Move, scene: Scene) -> Outcome:
    """Move plants to shelves or into towers, from where they are said to be or where the oldest are.

    Raises:
        Refused: "no_such_place"; "move_where" where nobody said where to and it does not follow from where they were;
            "out_of_use".
    """
    scene.check_places((*note.origin, *note.to))
    note = note if note.to else replace(note, to=_next_up(note, scene))
    _refuse_out_of_use(note, scene)
    crop = growing.crops(scene.ledger)[str(note.crop)]
    stands = _source(note, scene)
    plants = _how_many(note, scene, stands)
    doubts = () if scene.sure else _doubts(note, scene, plants, stands)
    if doubts:
        return Outcome(doubts=doubts)
    writing = scene.enter(note)
    came = take(scene, writing, stands, plants)
    came += _unknown(plants - sum(one.plants for one in came), crop, note, scene, writing)
    put(scene, writing, came, note.to)
    emptied = empty(scene, writing, places_of(came))
    remarks = (*_not_cleaned(note, scene), *((fact("to_clean", places=emptied),) if emptied else ()))
    scene.mark(writing, tuple(code for code in note.to if scene.vocabulary.is_tower(code)), "ready")
    if _into_towers(note, scene):
        settle(scene, writing, "move", note.crop, note.to)
    else:
        settle(scene, writing, "uncover", note.crop, scene.vocabulary.shelves)
    kind = "moved_to_towers" if _into_towers(note, scene) else "moved"
    said = fact(kind, plants=plants, crop=crop.slug, to=note.to)
    return Outcome((said,), remarks, entry=writing.n)


def _next_up(note: Move, scene: Scene) -> tuple[str, ...]:
    """Where plants go that were said to move from somewhere: off the cover to the shelves, from there to the towers."""
    if note.origin and set(note.origin) <= {scene.vocabulary.cover}:
        return ("shelves",)
    if note.origin and set(note.origin) <= {*scene.vocabulary.shelves, "shelves"}:
        return ("towers",)
    raise Refused("move_where")


def _refuse_out_of_use(note: Move, scene: Scene) -> None:
    out = [code for code, place in growing.places(scene.ledger, note.to).items() if place.state == OUT]
    if out:
        raise Refused("out_of_use", places=tuple(out))


def _unknown(plants: int, crop: Crop, note: Move, scene: Scene, writing: Writing) -> list[Plants]:
    """Plants the books knew nothing of: they get a batch of their own, as old as plants are at that stage."""
    if plants <= 0:
        return []
    days = crop.cover_days + crop.shelf_days * _into_towers(note, scene)
    code = new_batch(scene, writing, crop.slug, plants, days)
    return [Plants(scene.ledger.session.get_one(Batch, (scene.ledger.farm_id, code)), plants)]


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
    sites = scene.vocabulary.sites(note.to)
    return (min(sites, there) or sites) if sites else there


def _doubts(note: Move, scene: Scene, plants: int, stands: Sequence[Stand]) -> tuple[Fact, ...]:
    towers = [code for code in note.to if scene.vocabulary.is_tower(code)]
    inside = [one for one in growing.standing(scene.ledger, towers) if one[0].place not in note.origin]
    if inside:
        held = tuple(dict.fromkeys(stand.place for stand, _ in inside))
        return (fact("doubt_still_planted", places=held, others=sorted({batch.crop for _, batch in inside})),)
    sites = scene.vocabulary.sites(towers)
    if towers and len(towers) == len(note.to) and plants > sites:
        return (fact("doubt_more_than_sites", plants=plants, sites=sites, to=note.to),)
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
    gone(scene, writing, came, "lost")
    batches = {one.batch.code for one in came}
    writing.record(
        PlantLoss,
        crop=note.crop,
        batch=batches.pop() if len(batches) == 1 else None,
        count=lost,
        reason=note.reason or "other",
        places=list(note.places),
        on=scene.day,
    )
    emptied = empty(scene, writing, note.places) if came else ()
    reason = note.reason if note.reason != "other" else None
    said = fact("loss", count=lost, crop=note.crop, reason=reason, places=note.places)
    return Outcome((said,), (fact("to_clean", places=emptied),) if emptied else (), entry=writing.n)
