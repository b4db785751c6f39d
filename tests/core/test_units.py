"""Units: there and back, and what does not go together."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import NotListed, OutOfRange
from core.units import convert, units

PAIRS = [(one, other) for one in units() for other in units() if units()[one].kind == units()[other].kind]


@given(st.sampled_from(PAIRS), st.floats(-1e4, 1e4))
def test_there_and_back_is_the_same(pair, value):
    unit, to = pair
    assert convert(convert(value, unit, to), to, unit) == pytest.approx(value, abs=1e-6)


def test_every_unit_names_its_source():
    assert all(one.source for one in units().values())


def test_litres_are_no_degrees():
    with pytest.raises(OutOfRange, match="one kind"):
        convert(1, "L", "degC")


def test_an_unknown_unit_is_refused_with_the_known_ones():
    with pytest.raises(NotListed, match="mS/cm"):
        convert(1, "furlong", "L")
