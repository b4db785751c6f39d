"""Unit conversions against Pint, a reference library of physical units, and published ppm scales."""

import pint
import pytest

from core.units import convert, units
from tests.published.records import example

REGISTRY = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
AS_PINT = {
    "degC": "degC",
    "degF": "degF",
    "mS/cm": "millisiemens/cm",
    "dS/m": "decisiemens/m",
    "uS/cm": "microsiemens/cm",
    "L": "liter",
    "mL": "milliliter",
    "gal": "US_liquid_gallon",
    "floz": "US_fluid_ounce",
    "g": "gram",
    "kg": "kilogram",
    "oz": "ounce",
    "lb": "pound",
    "W": "watt",
    "BTU/h": "Btu_it/hour",
}
KINDS = {name: one.kind for name, one in units().items()}
PAIRS = [(one, other) for one in AS_PINT for other in AS_PINT if KINDS[one] == KINDS[other]]


@pytest.mark.parametrize(("unit", "to"), PAIRS)
def test_every_pair_of_units_converts_as_in_pint(unit, to):
    for value in (0.0, 1.0, 72.5, 1240.0):
        expected = REGISTRY.Quantity(value, AS_PINT[unit]).to(AS_PINT[to]).magnitude
        assert convert(value, unit, to) == pytest.approx(expected, rel=1e-9, abs=1e-9)


def test_every_unit_but_the_ppm_scales_of_meters_is_checked_against_pint():
    assert set(units()) - set(AS_PINT) == {"ppm500", "ppm700"}


def test_the_two_ppm_scales_are_those_of_the_published_chart():
    """Cartier Crops, How to read an EC conversion chart: EC 2.4 is 1200 ppm on one scale, 1680 on the other."""
    given, printed = example("ec-ppm-24")
    for scale in ("ppm500", "ppm700"):
        assert convert(given["EC"], "mS/cm", scale) == pytest.approx(printed[scale])


def test_a_second_page_agrees_on_both_scales():
    """98905.com, article 27146, steps 5 to 7."""
    given, printed = example("ec-ppm-40")
    for scale in ("ppm500", "ppm700"):
        assert convert(given["EC"], "mS/cm", scale) == pytest.approx(printed[scale])
