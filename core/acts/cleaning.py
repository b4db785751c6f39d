"""Places cleaned, and towers cleared of plants that have given all their cuts."""

from __future__ import annotations

from collections.abc import Sequence

from core.acts.done_tasks import settle
from core.acts.scene import Scene
from core.acts.stands import gone, take, total
from core.books import growing
from core.books.growing import Stand
from core.books.ledger import Writing
from core.books.tables import Cleaning
from core.crops import next_cut
from core.notes import Clean
from core.outcome import Fact, Outcome, fact
from core.places import READY


def clean(note: Clean, scene: Scene) -> Outcome:
    """Something was cleaned; towers are ready to be planted again, those of spent plants being cleared by it.

    Raises:
        Refused: "no_such_place".
    """
    scene.check_places(note.places)
    spent, held = standing_in(scene, note.places)
    if held and not scene.sure:
        still = tuple(dict.fromkeys(stand.place for stand, _ in held))
        return Outcome(doubts=(fact("doubt_cleaned_planted", places=still, others=sorted({b.crop for _, b in held})),))
    writing = scene.enter(note)
    what = note.what or "towers"
    writing.record(Cleaning, what=what, count=note.count, places=list(note.places), on=scene.day)
    remarks = clear(scene, writing, spent)
    planted = {stand.place for stand, _ in held}
    cleaned(scene, writing, tuple(code for code in note.places if code not in planted))
    if note.places:
        return Outcome((fact("clean_places", places=note.places),), remarks, entry=writing.n)
    settle_upkeep(scene, writing, what)
    remarks = (fact("which_towers"),) if what == "towers" else ()
    return Outcome((fact("clean", what=what, count=note.count),), remarks, entry=writing.n)


def standing_in(scene: Scene, codes: Sequence[str]) -> tuple[list[Stand], list[Stand]]:
    """What stands in towers: plants that have given all their cuts, and all others."""
    crops = growing.crops(scene.ledger)
    spent: list[Stand] = []
    held: list[Stand] = []
    for stand, batch in growing.standing(scene.ledger, [code for code in codes if scene.vocabulary.is_tower(code)]):
        again = next_cut(crops[batch.crop], stand.since or batch.sown_on, stand.cuts, stand.last_cut)
        (spent if again is None else held).append((stand, batch))
    return spent, held


def clear(scene: Scene, writing: Writing, spent: Sequence[Stand]) -> tuple[Fact, ...]:
    """Take plants out that give no more, and say so."""
    if not spent:
        return ()
    taken = take(scene, writing, spent, total(spent))
    gone(scene, writing, taken, "spent")
    crops = tuple(sorted({one.batch.crop for one in taken}))
    return (fact("cleared", plants=sum(one.plants for one in taken), crops=crops),)


def cleaned(scene: Scene, writing: Writing, codes: tuple[str, ...]) -> None:
    """Places are ready again, and what was on the list for them is done."""
    scene.mark(writing, codes, READY)
    for what in ("clear", "clean"):
        settle(scene, writing, what, None, codes)


def settle_upkeep(scene: Scene, writing: Writing, what: str) -> None:
    """Cleaning of the floor, a filter or the like that was on the list is done."""
    settle(scene, writing, "upkeep", None, (what,))
