"""What is asked about tanks and air so that it can be reckoned, and a calibration begun. Nothing is recorded."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from core.notes.note import Note

RECKONED = ("vpd", "dew_point", "dli", "light_hours", "lamp_heat")


@dataclass(frozen=True, slots=True, kw_only=True)
class Want(Note):
    """How to bring a tank's pH or EC to `value`; `now` is what it reads, where it was said."""

    act: ClassVar[str] = "want"
    measure: str | None = None
    value: float | None = None
    where: str | None = None
    now: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reckon(Note):
    """A sum about air or light (`about`: RECKONED). degC, %, umol/m2/s, h, mol/m2/d, W; absent: as last read."""

    act: ClassVar[str] = "reckon"
    about: str | None = None
    air_c: float | None = None
    humidity: float | None = None
    wall_c: float | None = None
    ppfd: float | None = None
    hours: float | None = None
    dli: float | None = None
    watts: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibrate(Note):
    """Wants to be led through the calibration of a probe."""

    act: ClassVar[str] = "calibrate"
    measure: str | None = None
    where: str | None = None
