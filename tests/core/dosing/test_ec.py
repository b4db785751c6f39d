"""Conductivity from the analysis, and the strength of a recipe for a wanted EC."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.dosing.ec import at_25, ec_of, mixed, strength_for
from core.dosing.recipes import recipe, recipes
from core.errors import OutOfRange

LEAFY = recipe("leafy").ppm
WATER = {"Ca": 40.0, "Mg": 10.0, "Na": 12.0, "Cl": 15.0}


@given(st.sampled_from(list(recipes())), st.floats(0.05, 2.0), st.floats(0.01, 0.5))
def test_a_stronger_solution_conducts_more(name, strength, more):
    analysis = recipe(name).ppm
    assert ec_of(mixed(analysis, {}, strength + more)) > ec_of(mixed(analysis, {}, strength))


@given(st.floats(0.4, 3.0))
def test_the_strength_for_an_ec_gives_that_ec(want):
    strength = strength_for(LEAFY, WATER, want)
    assert ec_of(mixed(LEAFY, WATER, strength)) == pytest.approx(max(want, ec_of(WATER)), abs=1e-6)


def test_water_that_conducts_enough_by_itself_takes_nothing():
    assert strength_for(LEAFY, WATER, 0.1) == pytest.approx(0, abs=1e-9)


def test_what_the_charges_lack_is_bicarbonate():
    """40 mg/L calcium and nothing else is 2 meq of a hard water, and such a water is near 0.2 mS/cm."""
    assert ec_of({"Ca": 40.0}) == pytest.approx(0.2, abs=0.03)


@pytest.mark.parametrize("want", [-0.1, 10.5])
def test_an_ec_no_plant_stands_is_not_reckoned(want):
    with pytest.raises(OutOfRange):
        strength_for(LEAFY, {}, want)


def test_a_recipe_of_nothing_reaches_no_ec():
    with pytest.raises(OutOfRange, match="too little"):
        strength_for({"Fe": 1.0}, {}, 1.0)


def test_ice_and_steam_are_not_reckoned():
    with pytest.raises(OutOfRange):
        ec_of(LEAFY, -1)


@given(st.floats(0.1, 5), st.floats(10, 35))
def test_a_cold_reading_is_raised_and_a_warm_one_lowered(ec, temp):
    assert (at_25(ec, temp) - ec) * (25 - temp) >= 0
