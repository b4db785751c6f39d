"""The sums of the dosing page, each a form with its fields and what it comes to, step by step.

form      a field, what was filled in, a result: what every sum is made of
tank      nutrients, water, acid or base for a tank
mixing    a recipe in grams, and its two stocks
air       air, light, lamps
units     one unit in another
"""

from service.board.sums import air, mixing, tank, units
from service.board.sums.form import Sum

SUMS: dict[str, Sum] = {
    one.name: one
    for one in (tank.EC, tank.TOP_UP, tank.PH, mixing.RECIPE, mixing.STOCK, units.UNITS, air.AIR, air.LIGHT, air.LAMPS)
}
"""Every sum by its name, in the order of the page."""

__all__ = ["SUMS", "Sum"]
