"""Acid and base in water: there and back, and which way each goes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.dosing.acids import Bottle, bottle, dose, nutrient_ppm, ph_after, substances
from core.dosing.carbonate import Buffers, acid_needed, alkalinity, buffers_of, ph_where
from core.errors import NotListed, OutOfRange

ACIDS = [one for one in substances().values() if not one.base]
WATERS = st.builds(buffers_of, st.floats(0.2, 8), st.floats(6.5, 8.5), st.floats(5, 35), st.floats(0, 0.1))
PH = st.floats(4.5, 9.5)
LYE = bottle("potassium_hydroxide", 45)


def of(acid):
    percent, density = next(iter(acid.examples.items()))
    return Bottle(acid, percent, density)


@given(WATERS, PH)
def test_the_pH_of_an_alkalinity_is_found_again(water, ph):
    assert ph_where(water, alkalinity(water, ph)) == pytest.approx(ph, abs=1e-6)


@given(WATERS, PH, st.floats(0.05, 2))
def test_a_lower_pH_takes_more_acid(water, ph, less):
    low = max(4.0, ph - less)
    assert acid_needed(water, ph, low) >= 0
    assert acid_needed(water, ph, low - 0.2) > acid_needed(water, ph, low)


@given(WATERS, st.sampled_from(ACIDS), st.floats(6.5, 8.5), st.floats(5.0, 6.4))
def test_the_dose_reaches_the_pH_it_was_reckoned_for(water, acid, ph, want):
    found = dose(of(acid), water, ph, want, 420)
    assert ph_after(water, ph, {of(acid): found.ml_per_100_l / 100}) == pytest.approx(want, abs=1e-6)
    assert found.ml == pytest.approx(found.ml_per_100_l * 4.2)


@given(WATERS, st.floats(6.5, 8.5), st.floats(5.0, 6.4))
def test_nitric_acid_and_as_much_base_return_to_the_pH(water, ph, want):
    acid = bottle("nitric", 67)
    ml_l = dose(acid, water, ph, want, 1).ml
    back = ml_l * acid.mol_l / LYE.mol_l
    assert ph_after(water, ph, {acid: ml_l, LYE: back}) == pytest.approx(ph, abs=1e-6)


@given(WATERS, st.sampled_from(ACIDS), st.floats(6.5, 8.0), st.floats(5.0, 6.4))
def test_the_base_that_goes_back_up_is_reckoned_from_what_the_acid_left(water, acid, ph, want):
    ml_l = dose(of(acid), water, ph, want, 1).ml
    lye = 0.0
    for _ in range(40):  # base by drops, as it is done, until the pH is back
        if ph_after(water, ph, {of(acid): ml_l, LYE: lye}) >= ph:
            break
        lye += ml_l * of(acid).mol_l * 3 / LYE.mol_l / 39
    assert ph_after(water, ph, {of(acid): ml_l, LYE: lye}) >= ph - 1e-6


def test_phosphate_in_the_water_makes_it_take_more_acid():
    plain, fed = Buffers(1.0), Buffers(1.0, phosphate=1.0)
    assert acid_needed(fed, 6.8, 5.8) > acid_needed(plain, 6.8, 5.8) + 0.2


def test_the_working_leads_from_the_alkalinity_to_the_millilitres():
    found = dose(bottle("phosphoric", 75), buffers_of(3.0, 7.8), 7.8, 5.8, 420)
    assert [step.unit for step in found.working] == ["meq/L", "eq/mol", "mol/L", "mL"]
    assert found.working[-1].result == found.ml
    assert found.meq_l / found.eq_mol / bottle("phosphoric", 75).mol_l * 420 == pytest.approx(found.ml)


def test_citric_acid_brings_nothing_that_is_counted():
    assert nutrient_ppm(bottle("citric", 50), 1.0) == {}


@pytest.mark.parametrize(("name", "ph", "want"), [("nitric", 5.5, 6.0), ("potassium_hydroxide", 6.5, 5.8)])
def test_a_bottle_that_goes_the_other_way_is_refused(name, ph, want):
    strength = next(iter(substances()[name].examples))
    with pytest.raises(OutOfRange, match="an acid to go down"):
        dose(bottle(name, strength), buffers_of(2, 7.5), ph, want, 10)


@pytest.mark.parametrize(("percent", "density"), [(0, 1.2), (101, 1.2), (75, 15.8), (75, 0.5)])
def test_a_bottle_that_cannot_be_is_refused(percent, density):
    with pytest.raises(OutOfRange, match="off the label"):
        bottle("phosphoric", percent, density)


def test_a_strength_of_unknown_density_is_asked_for():
    with pytest.raises(NotListed, match="75 %"):
        bottle("phosphoric", 20)
    assert bottle("phosphoric", 20, 1.11).mol_l == pytest.approx(2.27, abs=0.01)


def test_an_alkalinity_that_its_pH_cannot_have_is_refused():
    with pytest.raises(OutOfRange, match="measure both again"):
        buffers_of(0.0, 9.5)


def test_more_acid_than_any_water_bears_is_refused():
    with pytest.raises(OutOfRange, match="too much"):
        ph_after(Buffers(0.1), 7.0, {bottle("sulphuric", 93): 50.0})
