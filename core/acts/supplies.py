"""Supplies: counted down by what is done, corrected by what people say."""

from __future__ import annotations

from core.acts.scene import Scene
from core.books.ledger import Writing
from core.books.tables import Stock as StockRow
from core.books.tables import Supply
from core.notes import Stock
from core.outcome import Fact, Outcome, fact


def stock(note: Stock, scene: Scene) -> Outcome:
    """What somebody says of a supply: out, low, so much left, or so much arrived."""
    supply = scene.ledger.session.get(Supply, (scene.ledger.farm_id, note.item))
    writing = scene.enter(note)
    key = {"item": note.item, "crop": note.crop or ""}
    what = {"item": note.item, "crop": note.crop}
    counted = note.amount is not None and _same_unit(note.unit, supply)
    if note.state == "out":
        writing.put(StockRow, key, amount=0.0, said="out")
    elif note.state == "low":
        writing.put(StockRow, key, said="low")
    elif note.state == "have" and counted:
        writing.put(StockRow, key, amount=float(note.amount or 0), said="")
    elif note.state == "received" and counted:
        writing.add(StockRow, key, amount=float(note.amount or 0))
        writing.put(StockRow, key, said="")
    elif note.state in ("have", "received"):
        writing.put(StockRow, key, said="")
    unit = note.unit or (supply.unit if supply else "")
    amount = {"amount": note.amount, "unit": unit, "item": note.item} if note.amount is not None else None
    said = fact(f"stock_{note.state}", supply=what, amount=amount)
    if note.amount is not None and not counted and supply:
        return Outcome((said,), (fact("other_unit", supply=what),), entry=writing.n)
    return Outcome((said,), entry=writing.n)


def _same_unit(said: str | None, supply: Supply | None) -> bool:
    """Whether an amount can be kept as it was said: no unit, the supply's own, or the supply's own name."""
    if said is None or supply is None:
        return True
    own = {supply.unit, supply.slug, *(name for names in supply.names.values() for name in names)}
    return said.rstrip("s").lower() in {name.rstrip("s").lower() for name in own}


def use(scene: Scene, writing: Writing, item: str, amount: float, crop: str = "") -> tuple[Fact, ...]:
    """Count a supply down, never below nothing; remark when it gets low. One that nobody counted stays uncounted."""
    row = scene.ledger.session.get(StockRow, (scene.ledger.farm_id, item, crop))
    supply = scene.ledger.session.get(Supply, (scene.ledger.farm_id, item))
    if row is None or row.amount is None or supply is None:
        return ()
    writing.add(StockRow, {"item": item, "crop": crop}, amount=-min(amount, row.amount))
    if row.amount > supply.low_at:
        return ()
    left = {"amount": row.amount, "unit": supply.unit, "item": item}
    return (fact("stock_left" if row.amount else "stock_gone", supply={"item": item, "crop": crop}, amount=left),)
