"""Formulas and labels, and the grams of a material for so much of an element."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.dosing.elements import atoms, fraction, molar_mass, molar_masses
from core.dosing.materials import grams_for, label, material, materials, nitrogen, ppm_of
from core.errors import NotListed, OutOfRange


def test_brackets_and_water_of_a_formula_are_counted():
    assert atoms("Ca(NO3)2·4H2O") == {"Ca": 1, "N": 2, "O": 10, "H": 8}
    assert atoms("(NH4)6Mo7O24·4H2O") == {"N": 6, "H": 32, "Mo": 7, "O": 28}


def test_the_shares_of_a_formula_are_the_whole():
    assert sum(fraction("MgSO4·7H2O", one) for one in atoms("MgSO4·7H2O")) == pytest.approx(1)
    assert molar_mass("MgSO4·7H2O") == pytest.approx(246.47, abs=0.01)


@pytest.mark.parametrize("formula", ["XeF2", "", "water"])
def test_an_unknown_element_is_refused_with_the_known_ones(formula):
    with pytest.raises(NotListed, match="Ca"):
        atoms(formula)


def test_no_material_holds_more_than_itself_and_each_names_its_source():
    for one in materials().values():
        assert 0 < sum(one.holds.values()) <= 1, one.name
        assert set(one.holds) <= {*molar_masses(), "N_NO3", "N_NH4"}
        assert one.source


def test_ammonium_and_nitrate_of_ammonium_nitrate_are_even():
    holds = material("ammonium_nitrate").holds
    assert holds["N_NO3"] == pytest.approx(holds["N_NH4"])
    assert nitrogen(holds) == pytest.approx(0.35, abs=0.001)


@given(st.sampled_from(list(materials().values())), st.floats(0, 400), st.floats(1, 2000))
def test_what_is_weighed_for_a_ppm_gives_that_ppm(one, ppm, litres):
    element = max(one.holds, key=lambda name: one.holds[name])
    grams = grams_for(one, element, ppm, litres)
    assert ppm_of({one: grams * 1000 / litres})[element] == pytest.approx(ppm)


def test_a_label_with_its_nitrogen_split_keeps_the_split():
    assert label(0, 5, 26, N_NO3=5, Mg=3).holds == pytest.approx(
        {"N_NO3": 0.05, "P": 0.0218, "K": 0.2158, "Mg": 0.03}, abs=1e-4
    )


@pytest.mark.parametrize("shares", [(-1, 0, 0), (60, 30, 20)])
def test_a_label_that_cannot_be_is_refused(shares):
    with pytest.raises(OutOfRange):
        label(*shares)


def test_a_label_with_an_element_nobody_knows_is_refused():
    with pytest.raises(NotListed, match="Xx"):
        label(1, 1, 1, Xx=1)


def test_an_element_that_a_material_lacks_is_refused_with_those_it_has():
    with pytest.raises(OutOfRange, match="Mg"):
        grams_for(material("magnesium_sulfate"), "Ca", 50, 100)


def test_an_unknown_fertiliser_is_refused_with_the_known_ones():
    with pytest.raises(NotListed, match="potassium_nitrate"):
        material("moon_dust")
