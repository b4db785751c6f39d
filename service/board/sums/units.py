"""One unit in another of its kind."""

from __future__ import annotations

from core.outcome import fact
from core.units import convert, units
from service.board.sums.form import Field, Figures, Result, Sum, step
from service.board.view import View

SHOWN = {"degC": "°C", "degF": "°F", "uS/cm": "µS/cm"}
"""Units whose sign is not their name."""


def _convert(figures: Figures, _: View) -> Result:
    value, unit, to = figures["value"], figures.choices["unit"], figures.choices["to"]
    found = convert(value, unit, to)
    here, there = units()[unit], units()[to]
    numbers = {"value": value, "f1": here.factor, "s1": here.shift, "f2": there.factor, "s2": there.shift}
    source = " ".join(dict.fromkeys(one.source for one in (here, there) if one.source != "Base unit."))
    worked = step(
        "the same in the other unit", "(value x f1 + s1 - s2) / f2", numbers, found, SHOWN.get(to, to), source
    )
    return Result(
        (
            fact(
                "sum_units", value=f"{value:g}", unit=SHOWN.get(unit, unit), found=f"{found:.6g}", to=SHOWN.get(to, to)
            ),
        ),
        (worked,),
    )


UNITS = Sum(
    "units",
    (
        Field("value", "", -1e9, 1e9),
        Field("unit", choices=tuple(units())),
        Field("to", choices=tuple(units())),
    ),
    _convert,
    lambda _: {"value": "1.6", "unit": "mS/cm", "to": "ppm500"},
)
