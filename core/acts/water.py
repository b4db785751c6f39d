"""What is put into the tanks."""

from __future__ import annotations

from core.acts.scene import Scene
from core.acts.supplies import use
from core.books.tables import Addition, Supply, Tank
from core.notes import Added
from core.outcome import Fact, News, Outcome, fact

ACIDS_AND_BASES = ("ph_down", "ph_up")

MOST_SHARE = {"ph_down": 0.001, "ph_up": 0.001, "nutrient_a": 0.02, "nutrient_b": 0.02}
"""So much of a tank's volume, and more, is doubted: usual doses are far below. Common practice, no source."""


def added(note: Added, scene: Scene) -> Outcome:
    """Something was put into a tank; nutrients are counted down, and acids and bases carry their caution."""
    item, amount_ml = str(note.item), float(note.amount_ml or 0)
    much = _is_far_too_much(item, amount_ml, note.where, scene)
    if much and not scene.sure:
        doubt = fact("doubt_much_put_in", amount_ml=amount_ml, supply={"item": item}, where=note.where)
        return Outcome(doubts=(doubt,))
    writing = scene.enter(note)
    writing.record(Addition, item=item, amount_ml=amount_ml, tank=note.where, at=scene.at)
    unit_ml = _millilitres(item, scene)
    left = use(scene, writing, item, amount_ml / unit_ml) if unit_ml else ()
    cautions: tuple[Fact, ...] = ()
    news: tuple[News, ...] = ()
    if much:
        put_in = fact("news_much_put_in", who=scene.name, amount_ml=amount_ml, supply={"item": item}, where=note.where)
        news = tuple(News(put_in, role=role, urgent=True) for role in ("lead", "coordinator"))
    if item in ACIDS_AND_BASES:
        minor = scene.actor is not None and not scene.actor.grown_up
        cautions = (fact("caution_minor" if minor else "caution_acid"),)
        if minor:
            told = fact("news_minor_acid", who=scene.name, item=item)
            news = (*news, News(told, role="coordinator", urgent=True))
    said = fact("added", amount_ml=amount_ml, supply={"item": item}, where=note.where)
    return Outcome((said,), (*cautions, *left), entry=writing.n, news=news)


def _is_far_too_much(item: str, amount_ml: float, tank: str | None, scene: Scene) -> bool:
    """Whether it is more of an acid, a base or a concentrate than a tank takes at once."""
    row = scene.ledger.session.get(Tank, (scene.ledger.farm_id, tank)) if tank else None
    return row is not None and item in MOST_SHARE and amount_ml > MOST_SHARE[item] * row.volume_l * 1000


def _millilitres(item: str, scene: Scene) -> float | None:
    """What one unit of a supply is; None where it is counted in something else. [mL]"""
    supply = scene.ledger.session.get(Supply, (scene.ledger.farm_id, item))
    return {"l": 1000.0, "ml": 1.0}.get(supply.unit.lower() if supply else "")
