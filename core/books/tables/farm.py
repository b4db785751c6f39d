"""The farm itself: its settings, crops, places, tanks, recipients, supplies, targets and closed days."""

from __future__ import annotations

from datetime import date, time
from typing import Any

from sqlmodel import Field, SQLModel

from core.books.tables.columns import farm_key, json_table, json_value, key


class Farm(SQLModel, table=True):
    """One farm, told apart from others by the number people text to. Places and hours are its layout in words.

    `tower_rows`: row -> how many places it has; `row_kinds` and `row_sites` hold the rows that are no towers ("raft",
    "channel", "bed") and those whose places have not `sites_per_tower` sites. `emergency` is the number to call when
    somebody is hurt, "" for that of the country. `minors_per_adult`: on a shift at most so many minors for each adult.
    `texts_a_week`: at most so many texts a week ask somebody for more than their own shifts.
    """

    id: int = Field(primary_key=True)
    slug: str = Field(unique=True)
    name: str
    phone: str = Field(unique=True)
    timezone: str
    temperature_unit: str
    weight_unit: str
    languages: list[str] = json_value()
    opens: time
    closes: time
    day_parts: dict[str, list[str]] = json_value()
    tower_rows: dict[str, int] = json_value()
    sites_per_tower: int
    shelves: list[str] = json_value()
    tray_cells: int
    digest_at: time
    row_kinds: dict[str, str] = json_table()
    row_sites: dict[str, int] = json_table()
    emergency: str = Field(default="", sa_column_kwargs={"server_default": ""})
    minors_per_adult: int = Field(default=2, sa_column_kwargs={"server_default": "2"})
    texts_a_week: int = Field(default=3, sa_column_kwargs={"server_default": "3"})


class Counter(SQLModel, table=True):
    """The last number given out, a row for each kind of numbered thing ("entry", "person", "shift", "task")."""

    farm_id: int = farm_key()
    name: str = key()
    last: int


class Crop(SQLModel, table=True):
    """A crop as this farm grows it: its profile, with the farm's own values over the published ones.

    Days: `cover_days` under the dome, `shelf_days` on the shelves, `tower_days` in the towers to the first cut,
    `regrow_days` between cuts (None for a crop cut once). `mass_g` of one head or bunch. `ranges` holds
    measure -> [least, most] in the measure's unit. `spread`: stage -> days more or less that nine in ten batches
    need; `losses`: stage -> share of the plants lost in it; the stages are "cover", "shelf", "tower" and "regrow".
    `window_days`: how long what is ready can wait. `spacing_cm` between plants.
    """

    farm_id: int = farm_key()
    slug: str = key()
    kind: str
    names: dict[str, list[str]] = json_value()
    plurals: dict[str, str] = json_value()
    cover_days: int
    shelf_days: int
    tower_days: int
    regrow_days: int | None
    cuts: int
    germination: float
    seeds_per_plug: int
    mass_g: float
    ranges: dict[str, list[float]] = json_value()
    spread: dict[str, float] = json_table()
    losses: dict[str, float] = json_table()
    window_days: int = Field(default=7, sa_column_kwargs={"server_default": "7"})
    spacing_cm: float | None = None


class Place(SQLModel, table=True):
    """A tower, raft, channel, bed, shelf, tray or the cover (kinds in core.places).

    `state`: "ready" to be planted, "to clean", or "out" of use.

    Whether it is planted is not kept here: it is when plants stand in it.
    """

    farm_id: int = farm_key()
    code: str = key()
    kind: str
    sites: int
    state: str


class Tank(SQLModel, table=True):
    """A tank of nutrient solution; `feeds` is the kind of place it waters ("tower" or "shelf")."""

    farm_id: int = farm_key()
    slug: str = key()
    names: dict[str, list[str]] = json_value()
    volume_l: float
    feeds: str


class Alias(SQLModel, table=True):
    """What the crew also calls something of the farm: `family` is crop, tank, recipient or supply, `slug` the thing."""

    farm_id: int = farm_key()
    phrase: str = key()
    family: str
    slug: str


class Recipient(SQLModel, table=True):
    """Somebody who is given produce."""

    farm_id: int = farm_key()
    slug: str = key()
    name: str
    names: dict[str, list[str]] = json_value()


class Supply(SQLModel, table=True):
    """A kind of thing the farm uses up. At or below `low_at` (in `unit`) it is low."""

    farm_id: int = farm_key()
    slug: str = key()
    names: dict[str, list[str]] = json_value()
    unit: str
    low_at: float


class Stock(SQLModel, table=True):
    """How much of a supply there is; `crop` names the seed and is "" for everything else.

    `amount` is None while nobody has counted; `said` is what people last called it: "", "low" or "out".
    """

    farm_id: int = farm_key()
    item: str = key()
    crop: str = key(default="")
    amount: float | None = None
    said: str = ""


class Target(SQLModel, table=True):
    """So many heads or bunches of a crop a week."""

    farm_id: int = farm_key()
    crop: str = key()
    count: float


class ClosedDay(SQLModel, table=True):
    """A farm-local day on which the farm is closed."""

    farm_id: int = farm_key()
    day: date = key()


def key_of(row: SQLModel) -> dict[str, Any]:
    """The parts of a row's key, the farm left out."""
    names = [column.name for column in type(row).__table__.primary_key]  # type: ignore[attr-defined]
    return {name: getattr(row, name) for name in names if name != "farm_id"}
