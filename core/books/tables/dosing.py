"""How strong the bottles are and what the water brings, and calibrations under way."""

from __future__ import annotations

from datetime import datetime

from sqlmodel import SQLModel

from core.books.tables.columns import farm_key, instant, json_value, key


class Strength(SQLModel, table=True):
    """What is in a bottle or in the tap, in figures.

    `item` "nutrients": a_ml_l and b_ml_l of A and B raise a litre by raises_ms_cm. "ph_down", "ph_up": `substance` is
    one of core.dosing.acids, with percent and density (kg/L). "water": alkalinity_meq_l, ph and ec_ms_cm.
    """

    farm_id: int = farm_key()
    item: str = key()
    substance: str = ""
    figures: dict[str, float] = json_value()


class ProbeRun(SQLModel, table=True):
    """A calibration begun by text and not yet finished, `aside` while left: no part of the journal until it is done."""

    farm_id: int = farm_key()
    person_id: int = key()
    measure: str
    tank: str
    done: int = 0
    shown: list[float] = json_value()
    standards: list[float] = json_value()
    temp_c: float = 25.0
    millivolts: bool | None = None
    aside: bool = False
    asked_at: datetime = instant()
