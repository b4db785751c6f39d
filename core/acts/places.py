"""Places out of use, and back in it."""

from __future__ import annotations

from core.acts.scene import Scene
from core.books import growing
from core.notes import PlaceUse
from core.outcome import News, Outcome, fact
from core.places import OUT, TO_CLEAN


def use(note: PlaceUse, scene: Scene) -> Outcome:
    """Places can no longer be planted, or can again; what works again is to be cleaned before it is planted.

    Raises:
        Refused: "no_such_place".
    """
    scene.check_places(note.places)
    writing = scene.enter(note)
    held = growing.standing(scene.ledger, note.places)
    standing = tuple(dict.fromkeys(stand.place for stand, _ in held))
    if note.out:
        scene.mark(writing, note.places, OUT)
        news = News(fact("news_out_of_use", who=scene.name, places=note.places), role="lead")
        remarks = (fact("still_planted", places=standing, crops=sorted({b.crop for _, b in held})),) if held else ()
        return Outcome((fact("use_out", places=note.places),), remarks, entry=writing.n, news=(news,))
    scene.mark(writing, note.places, TO_CLEAN)
    empty = tuple(code for code in note.places if code not in standing)
    remarks = (fact("to_clean", places=empty),) if empty else ()
    return Outcome((fact("use_back", places=note.places),), remarks, entry=writing.n)
