"""A cut: the lot it makes, the plants it takes off the towers, and what makes it doubtful."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from sqlmodel import col, select

from core.acts.done_tasks import settle
from core.acts.scene import Scene
from core.acts.stands import empty, gone, take, taken_apart, total
from core.books import growing
from core.books.growing import Stand
from core.books.ledger import Writing
from core.books.people import person
from core.books.tables import Crop, Cut, Entry, PlantLoss, Standing
from core.notes import Harvest
from core.outcome import Fact, Outcome, fact

SAME_CUT_WITHIN = timedelta(hours=6)
"""Two people reporting like cuts within this long are asked whether it is one. Common practice, no source."""

SAME_COUNT_WITHIN = 0.2
"""Two counts of one cut rarely differ by more than this share. Common practice, no source."""

EMPTIED_FROM = 0.75
"""From this share of the plants picked, the towers were emptied and the rest were gaps. Common practice, no source."""

BUNCHES_A_PLANT = 2.0
"""More bunches than this from one plant in one cut is doubted. Common practice, no source."""


def harvest(note: Harvest, scene: Scene) -> Outcome:
    """Record a cut. Whole heads leave their towers, which are then to clean; herbs stand on and regrow.

    Raises:
        Refused: "no_such_place".
    """
    scene.check_places(note.places)
    crop = growing.crops(scene.ledger)[str(note.crop)]
    stands = _stands(note, scene, crop)
    doubts = () if scene.sure else _same_cut(note, scene) or _surprises(note, scene, crop, stands)
    if doubts:
        return Outcome(doubts=doubts)
    writing = scene.enter(note)
    gone, remarks = _take_off(note, scene, writing, crop, stands)
    writing.record(
        Cut,
        lot=f"{crop.slug}-{scene.day:%y%m%d}-{writing.n}",
        crop=crop.slug,
        count=note.count,
        weight_g=note.weight_g,
        culled=note.culled,
        plants=gone,
        places=list(note.places),
        on=scene.day,
        at=scene.at,
        person_id=scene.told.whom,
    )
    settle(scene, writing, "harvest", note.crop, note.places)
    picked = fact("harvest", picked=amount(note), places=note.places, culled=note.culled)
    return Outcome((picked,), remarks, entry=writing.n)


def amount(note: Harvest) -> dict[str, object]:
    """So much of a crop, as the words room writes it."""
    return {"crop": note.crop, "count": note.count, "weight_g": note.weight_g}


def _stands(note: Harvest, scene: Scene, crop: Crop) -> Sequence[Stand]:
    """What of the crop stands in the places named, or in all towers where none is."""
    if note.places:
        return growing.standing(scene.ledger, note.places, crop.slug)
    everywhere = growing.standing(scene.ledger, crop=crop.slug)
    return [one for one in everywhere if scene.vocabulary.is_tower(one[0].place) or one[0].place == "towers"]


def _surprises(note: Harvest, scene: Scene, crop: Crop, stands: Sequence[Stand]) -> tuple[Fact, ...]:
    picked = (note.count or 0) + (note.culled or 0)
    plants = total(stands)
    if note.places and not stands:
        others = {batch.crop for _, batch in growing.standing(scene.ledger, note.places)}
        if others:
            return (fact("doubt_other_crop", places=note.places, crop=crop.slug, others=sorted(others)),)
        return (fact("doubt_nothing_there", places=note.places, crop=crop.slug),)
    if crop.kind == "whole head" and picked % 1:
        return (fact("doubt_part", picked=amount(note)),)
    most = plants if crop.kind == "whole head" else plants * BUNCHES_A_PLANT
    if picked > most:
        return (fact("doubt_more_than_stands", picked=amount(note), plants=plants, places=note.places),)
    return ()


def _same_cut(note: Harvest, scene: Scene) -> tuple[Fact, ...]:
    """A cut that another person told of a while ago, and that may be this one."""
    near = (scene.at - SAME_CUT_WITHIN, scene.at + SAME_CUT_WITHIN)
    query = (
        select(Cut, col(Entry.person_id))
        .join(Entry, (col(Entry.farm_id) == Cut.farm_id) & (col(Entry.n) == Cut.entry))
        .where(Cut.farm_id == scene.ledger.farm_id, Cut.crop == note.crop, col(Cut.at).between(*near))
        .where(Entry.person_id != scene.told.person_id, Entry.source != scene.told.source)
        .order_by(col(Cut.at).desc())
    )
    for other, teller in scene.ledger.session.exec(query):
        if teller is not None and _alike(note, other):
            who = person(scene.ledger, teller).name
            theirs = {"crop": other.crop, "count": other.count, "weight_g": other.weight_g}
            return (fact("doubt_same_cut", who=who, picked=theirs, at=other.at, places=tuple(other.places)),)
    return ()


def _alike(note: Harvest, other: Cut) -> bool:
    if note.places and other.places:
        return bool(set(note.places) & set(other.places))
    if note.count is None or other.count is None:
        return note.weight_g is not None and note.weight_g == other.weight_g
    return abs(note.count - other.count) <= SAME_COUNT_WITHIN * max(note.count, other.count)


def _take_off(
    note: Harvest, scene: Scene, writing: Writing, crop: Crop, stands: Sequence[Stand]
) -> tuple[int, tuple[Fact, ...]]:
    """The cut's effect on the towers: how many plants left them, and what to remark."""
    if not note.places:
        return 0, (fact("which_towers"),)
    if crop.kind == "cut and regrow":
        return 0, _regrow(scene, writing, crop, stands)
    plants = total(stands)
    count = round((note.count or 0) + (note.culled or 0)) if crop.kind == "whole head" and note.count else plants
    gaps = plants - count if count >= EMPTIED_FROM * plants else 0
    cut, missing = taken_apart(take(scene, writing, stands, min(plants, count + max(gaps, 0))), count)
    gone(scene, writing, cut, "cut")
    gone(scene, writing, missing, "gap")
    if gaps > 0:
        where = list(note.places)
        writing.record(PlantLoss, crop=crop.slug, count=gaps, reason="gap", places=where, on=scene.day)
    emptied = empty(scene, writing, note.places)
    left = plants - count if gaps <= 0 else 0
    return min(plants, count), tuple(
        one
        for one, said in (
            (fact("to_clean", places=emptied), emptied),
            (fact("gaps", n=gaps), gaps > 0),
            (fact("still_standing", plants=left, places=note.places), left > 0),
        )
        if said
    )


def _regrow(scene: Scene, writing: Writing, crop: Crop, stands: Sequence[Stand]) -> tuple[Fact, ...]:
    """One cut more for the plants; after the last one they are to come out."""
    spent = []
    for stand, batch in stands:
        key = {"batch": batch.code, "place": stand.place}
        writing.add(Standing, key, cuts=1)
        writing.put(Standing, key, last_cut=max(scene.day, stand.last_cut or scene.day))
        if stand.cuts >= crop.cuts:
            spent.append(stand.place)
    again = scene.day + timedelta(days=crop.regrow_days or 0)
    if spent:
        return (fact("last_cut", places=tuple(dict.fromkeys(spent))),)
    return (fact("regrows", day=again),) if stands else ()
