"""Stocks and recipes: two parts, what dissolves, and the weights for a wanted analysis."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.dosing.materials import material, ppm_of
from core.dosing.recipes import recipe, recipes, weights_for
from core.dosing.solution import Solution
from core.dosing.stock import UnmixableStock, dose_ml, faults_of, stock_of, two_parts
from core.errors import NotListed, OutOfRange

LEAFY = recipe("leafy")


@pytest.mark.parametrize("ratio", [100, 128, 200])
def test_two_parts_through_an_injector_give_the_recipe(ratio):
    volume = 500.0
    tank = Solution(volume)
    for part in two_parts(LEAFY.weighed):
        for one, grams_l in stock_of(part, ratio).items():
            tank = tank.with_grams(one.holds, grams_l * dose_ml(volume, ratio) / 1000)
    assert tank.ppm == pytest.approx(LEAFY.ppm)


def test_calcium_stands_alone_and_sulphates_and_phosphates_together():
    part_a, part_b = two_parts(LEAFY.weighed)
    assert "calcium_nitrate" in {one.name for one in part_a}
    assert {one.name for one in part_b} == {"monopotassium_phosphate", "magnesium_sulfate"}
    assert all(stock_of(part, 100) for part in (part_a, part_b))


def test_every_fault_of_a_stock_is_named():
    mixed = {material("calcium_nitrate"): 60.0, material("magnesium_sulfate"): 900.0}
    assert [(one.kind, one.materials) for one in faults_of(mixed)] == [
        ("calcium_with_sulphate", ("calcium_nitrate", "magnesium_sulfate")),
        ("too_strong", ("magnesium_sulfate",)),
    ]


def test_a_stock_stronger_than_a_salt_dissolves_is_refused():
    with pytest.raises(UnmixableStock, match="too_strong"):
        stock_of({material("potassium_sulfate"): 600}, 200)


def test_no_injector_makes_less_than_it_takes():
    with pytest.raises(OutOfRange):
        stock_of(LEAFY.weighed, 0.5)
    with pytest.raises(OutOfRange):
        dose_ml(100, 0)


@given(st.lists(st.floats(0, 800), min_size=5, max_size=5))
def test_the_weights_behind_any_analysis_are_found_again(weights):
    salts = list(LEAFY.weighed)
    target = {element: ppm for element, ppm in ppm_of(dict(zip(salts, weights, strict=True))).items() if ppm > 1}
    found = ppm_of(weights_for(target, salts)) if target else {}
    for element, ppm in target.items():
        assert found[element] == pytest.approx(ppm, rel=1e-4, abs=1e-3)


def test_a_target_out_of_reach_is_met_as_near_as_may_be_and_never_by_less_than_nothing():
    found = weights_for({"Ca": 100, "Mg": 30}, [material("calcium_nitrate")])
    assert found[material("calcium_nitrate")] == pytest.approx(100 / 0.19)


def test_each_recipe_names_its_source_and_the_unknown_is_refused():
    assert all(one.source for one in recipes().values())
    with pytest.raises(NotListed, match="cooper"):
        recipe("grandmas")
