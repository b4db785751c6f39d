"""The sowing plan as it was last made. It is reckoned from the books, so no journal entry stands behind it."""

from __future__ import annotations

from datetime import date
from typing import Any

from sqlmodel import SQLModel

from core.books.tables.columns import farm_key, json_value, key


class SowingPlan(SQLModel, table=True):
    """The plan made on a day: `start` is the Monday of its first week, `sow` and `heads` hold crop -> by week.

    The plugs of the first week are those of the whole week, with what was sown before the plan was made. `cost`,
    `bound` and `gap` are the proof of how good it is, as in core.planning.model.
    """

    __tablename__ = "sowing_plan"

    farm_id: int = farm_key()
    day: date = key()
    start: date
    weeks: int
    sow: dict[str, list[int]] = json_value()
    heads: dict[str, list[float]] = json_value()
    short: list[dict[str, Any]] = json_value()
    cost: float
    bound: float
    gap: float
    seconds: float
