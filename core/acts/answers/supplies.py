"""How much of a supply there is, and what is running low."""

from __future__ import annotations

from core.acts.answers.shortened import shortened
from core.acts.picture import stocked
from core.acts.scene import Scene
from core.acts.water import ACIDS_AND_BASES
from core.books.dosing import used
from core.day import Supplied
from core.dosing.tank import days_left
from core.notes import Ask
from core.outcome import Fact, Outcome, fact

MOST_ITEMS = 5


def stock(note: Ask, scene: Scene) -> Outcome:
    """What is left of a supply; of all seed; or, where none is named, which are low."""
    if note.item is None and note.crop is None:
        low = [one for one in stocked(scene.ledger) if one.low]
        shown, more = shortened([supply(one) for one in low], MOST_ITEMS)
        return Outcome((fact("supplies_low", supplies=shown, more=more) if low else fact("none_low"),))
    item = note.item or "seed"
    found = stocked(scene.ledger, item, note.crop)
    if not found:
        return Outcome((fact("stock_unknown", supply={"item": item, "crop": note.crop}),))
    shown_facts, more = shortened([left(one) for one in found], MOST_ITEMS)
    dose = _no_dose(item, scene)
    return Outcome((fact("stock_left_now", supplies=shown_facts, more=more), *_lasts(found[0], scene), *dose))


def _no_dose(item: str, scene: Scene) -> tuple[Fact, ...]:
    """ "How much pH down" may have meant how much to put in: what is left of an acid or a base is no dose."""
    if item not in ACIDS_AND_BASES:
        return ()
    if scene.actor is not None and not scene.actor.grown_up:
        return (fact("caution_minor"),)
    return (fact("stock_is_no_dose"),)


def _lasts(one: Supplied, scene: Scene) -> tuple[Fact, ...]:
    """How many days a bottle lasts at the rate it went into the tanks, where that is known."""
    litres = {"l": 1000.0, "ml": 1.0}.get(one.unit.lower())
    if litres is None or one.amount is None:
        return ()
    now = scene.told.said_at
    days = days_left(one.amount * litres, used(scene.ledger, one.item, now), now)
    return (fact("stock_lasts", n=round(days)),) if days else ()


def left(one: Supplied) -> Fact:
    """A supply, how much there is, and whether that is low."""
    kind = "left" if one.amount is not None else "left_uncounted"
    low = "stock_is_out" if one.said == "out" or one.amount == 0 else "stock_is_low"
    amount = {"amount": one.amount, "unit": one.unit, "item": one.item}
    return fact(kind, supply=supply(one), stocked=amount, low=low if one.low else None)


def supply(one: Supplied) -> dict[str, object]:
    """A supply as the words room takes it."""
    return {"item": one.item, "crop": one.crop}
