"""What people wish of the roster, and the roster as it was last made for a week."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlmodel import SQLModel

from core.books.tables.columns import farm_key, instant, json_list, json_table, json_value, key


class Wish(SQLModel, table=True):
    """What somebody wishes: whom to be with (`beside`) or not (`apart`), how often, and at which part of the day.

    `most` shifts `per` "week" or "month"; `part` is one of the farm's day parts. None where they have no such wish.
    """

    farm_id: int = farm_key()
    person_id: int = key()
    beside: list[int] = json_list()
    apart: list[int] = json_list()
    most: int | None = None
    per: str | None = None
    part: str | None = None


class KeptRoster(SQLModel, table=True):
    """The roster last made for the week of a Monday. It is reckoned from the books: no entry stands behind it.

    `places` holds [person, shift], `open` shift -> people too few. `cost`, `bound` and `gap` are the proof of how good
    it is, as in core.shifts.model; `seconds` how long it took. `published` tells whether people were given it.
    """

    __tablename__ = "kept_roster"

    farm_id: int = farm_key()
    week: date = key()
    made_at: datetime = instant()
    places: list[list[Any]] = json_value()
    open: dict[str, int] = json_table()
    cost: float
    bound: float
    gap: float
    seconds: float
    published: bool
