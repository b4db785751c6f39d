"""The sowing plan that was kept, looked up."""

from __future__ import annotations

from datetime import date, timedelta

from sqlmodel import col, select

from core.books.ledger import Ledger
from core.books.tables import Batch, SowingPlan
from core.calendar import week


def kept_plan(ledger: Ledger, day: date) -> SowingPlan | None:
    """The newest plan made by a day whose weeks hold it."""
    query = select(SowingPlan).where(SowingPlan.farm_id == ledger.farm_id, col(SowingPlan.day) <= day)
    newest = ledger.session.exec(query.order_by(col(SowingPlan.day).desc())).first()
    return newest if newest is not None and day < newest.start + timedelta(weeks=newest.weeks) else None


def keep_plan(ledger: Ledger, made: SowingPlan) -> None:
    """Keep a plan; it takes the place of one made on the same day."""
    ledger.session.merge(made)
    ledger.session.flush()


def sown_in_week(ledger: Ledger, day: date) -> dict[str, int]:
    """Plugs sown from the Monday of a day's week up to that day, by crop."""
    monday, _ = week(day)
    query = select(Batch).where(Batch.farm_id == ledger.farm_id, col(Batch.sown_on).between(monday, day))
    sown: dict[str, int] = {}
    for batch in ledger.session.exec(query):
        sown[batch.crop] = sown.get(batch.crop, 0) + batch.plugs
    return sown


def planned_to_sow(ledger: Ledger, day: date) -> dict[str, int] | None:
    """Plugs of each crop that the plan has for a day's week and that are not sown yet; None where there is no plan."""
    made = kept_plan(ledger, day)
    if made is None:
        return None
    at, sown = (day - made.start).days // 7, sown_in_week(ledger, day)
    left = {crop: plugs[at] - sown.get(crop, 0) for crop, plugs in made.sow.items()}
    return {crop: plugs for crop, plugs in left.items() if plugs > 0}
