"""Salts in, ppm out, ounces in the barrel: against published recipes, labels and injector examples."""

import pytest

from core.dosing.ec import ERROR, by_cations, ec_of, free_of_pairs, millimoles
from core.dosing.elements import fraction
from core.dosing.materials import grams_for, label, material, nitrogen, ppm_of
from core.dosing.recipes import recipe, recipes, weights_for
from core.dosing.stock import UnmixableStock, dose_ml, stock_of
from core.units import convert
from tests.published.records import example, value

GALLONS_100 = convert(100, "gal", "L")


def ounces(bag, element, ppm, litres=GALLONS_100):
    return convert(grams_for(bag, element, ppm, litres), "g", "oz")


def of(analysis, element):
    return nitrogen(analysis) if element == "N" else analysis[element]


def test_hoaglands_solution_1_comes_to_the_published_ppm():
    """Hoagland and Arnon 1950, as relayed by Hershey 1997. Magnesium is 48.6, which the list cuts off to 48."""
    _, printed = example("nut-hoagland1")
    for element, ppm in printed.items():
        assert of(recipe("hoagland_1").ppm, element) == pytest.approx(ppm, rel=0.015), element


def test_hoaglands_micronutrients_come_to_the_published_ppm():
    """The stock of Hoagland and Arnon 1950, diluted 1:1000; molybdenum is 0.011 and printed as 0.01."""
    _, printed = example("nut-hoagland-micros")
    for element, ppm in printed.items():
        assert recipe("hoagland_1").ppm[element] == pytest.approx(ppm, rel=0.15), element


def test_hoaglands_solution_2_holds_a_fifteenth_of_its_nitrogen_as_ammonium():
    """Hoagland and Arnon 1950, solution 2: 14 mmol of nitrate to 1 of ammonium."""
    analysis = recipe("hoagland_2").ppm
    assert analysis["N_NH4"] == pytest.approx(14.0, rel=0.005)
    assert analysis["N_NO3"] == pytest.approx(196.1, rel=0.005)


def test_the_ammonium_variant_of_a_printed_table_is_reproduced():
    """scienceinhydroponics.com, March 2021, column 6, from the millimoles; its potassium is 0.8 ppm short."""
    given, printed = example("nut-hoagland-half-mg")
    salts = {"KNO3": "potassium_nitrate", "Ca_NO3_2": "calcium_nitrate_tetrahydrate"}
    salts |= {"NH4H2PO4": "monoammonium_phosphate", "MgSO4": "magnesium_sulfate", "KCl": "potassium_chloride"}
    grams_a_mole = {"KNO3": 101.10, "Ca_NO3_2": 236.15, "NH4H2PO4": 115.03, "MgSO4": 246.47, "KCl": 74.55}
    analysis = ppm_of({material(salts[one]): mmol * grams_a_mole[one] for one, mmol in given["mmol_per_L"].items()})
    for element, ppm in printed.items():
        assert analysis[element] == pytest.approx(ppm, rel=0.006), element


def test_coopers_formula_comes_to_its_ppm():
    """Cooper, The ABC of NFT, 1979; from memory."""
    _, printed = example("nut-cooper")
    for element, ppm in printed.items():
        assert of(recipe("cooper").ppm, element) == pytest.approx(ppm, rel=0.02), element


def test_the_leafy_recipe_comes_to_the_printed_target():
    """Modified Sonneveld solution of Mattson and Peters; the micronutrients are no part of it."""
    target = value("nut-sonneveld-target")
    for element in ("N", "P", "K", "Ca", "Mg"):
        assert of(recipe("leafy").ppm, element) == pytest.approx(target[element], rel=0.002), element


def test_the_weights_for_a_printed_target_are_found():
    """The same target; the only weights of these five that meet it are those of the recipe."""
    leafy = recipe("leafy")
    found = weights_for(leafy.printed, list(leafy.weighed))
    assert {one.name: round(mg, 1) for one, mg in found.items()} == {one.name: mg for one, mg in leafy.weighed.items()}


def test_oxides_are_turned_into_elements_by_the_published_factors():
    """e-GRO Edible Alert 3.05, 2018, and a second page: 0.4364 and 0.8301."""
    factors = value("nut-oxide")
    assert fraction("P2O5", "P") == pytest.approx(factors["P_from_P2O5"], abs=5e-5)
    assert fraction("K2O", "K") == pytest.approx(factors["K_from_K2O"], abs=1e-4)
    assert 1 / fraction("P2O5", "P") == pytest.approx(factors["P2O5_from_P"], abs=5e-4)


def test_a_label_20_10_20_is_read_as_printed_on_the_bag():
    """Latimer, Virginia Tech SPES-263P, Numbers on the bag: 20 % N, 10 % phosphate, 20 % potash."""
    bag = label(20, 10, 20)
    assert bag.holds["N"] == pytest.approx(0.20)
    assert bag.holds["P"] == pytest.approx(0.0436, abs=1e-4)
    assert bag.holds["K"] == pytest.approx(0.166, abs=1e-4)


def test_the_phosphorus_of_a_label_with_12_percent_phosphate():
    """e-GRO Edible Alert 3.05, p. 3: 0.0524."""
    given, printed = example("nut-egro-p2o5")
    assert label(0, given["P2O5"] * 100, 0).holds["P"] == pytest.approx(printed["P"], abs=5e-5)


def test_magnesium_sulphate_for_40_ppm_in_100_gallons():
    """e-GRO Edible Alert 3.05, pp. 2-3: 155.9 g or 5.5 oz, and 53.56 ppm S beside; the source rounds to 412 mg/L first."""
    given, printed = example("nut-egro-epsom")
    bag = label(0, 0, 0, Mg=given["label_Mg"] * 100, S=given["label_S"] * 100)
    grams = grams_for(bag, "Mg", given["ppm_Mg"], given["volume_L"])
    assert grams == pytest.approx(printed["grams_per_100gal"], rel=0.002)
    assert convert(grams, "g", "oz") == pytest.approx(printed["oz_per_100gal"], abs=0.05)
    assert ppm_of({bag: printed["mg_L"]})["S"] == pytest.approx(printed["S_ppm"], abs=0.005)


@pytest.mark.parametrize(("record", "shares"), [("nut-umass-2020", (20, 20, 20)), ("nut-umass-1515", (15, 15, 15))])
def test_ounces_in_100_gallons_for_200_ppm_nitrogen(record, shares):
    """UMass Extension, Fertilizer Calculations for Greenhouse Crops; the table is rounded up to half ounces."""
    given, printed = example(record)
    assert ounces(label(*shares), "N", given["ppm"]) == pytest.approx(printed["oz"], rel=0.015)


def test_an_ounce_in_100_gallons_gives_75_times_the_share():
    """Texas A&M, Nutrition and Fertility, part I: an ounce of 15 % in 100 gallons is 11.25 ppm."""
    given, printed = example("nut-tamu-factor")
    assert ounces(label(15, 0, 0), "N", printed["ppm"]) == pytest.approx(1.0, rel=0.002)
    assert given["fraction"] == 0.15


def test_calcium_nitrate_of_15_percent_for_250_ppm():
    """Texas A&M, part II: 22 oz in 100 gallons (22.2 before rounding)."""
    _, printed = example("nut-tamu-250")
    assert ounces(label(15, 0, 0), "N", 250) == pytest.approx(printed["oz"], rel=0.015)


def test_the_published_slip_with_ammonium_nitrate_is_not_repeated():
    """Texas A&M, practical example I, prints 0.33 x 75 = 29.75 and so 5 oz; it is 24.75 and 6.06 oz."""
    _, printed = example("nut-tamu-error")
    right = ounces(label(33, 0, 0), "N", 150)
    assert right == pytest.approx(6.06, abs=0.02)
    assert right > 1.2 * printed["oz_AN"]
    assert ounces(label(15, 0, 0), "N", 150) == pytest.approx(printed["oz_CN"], rel=0.03)


def test_a_stock_for_an_injector_is_as_many_times_stronger():
    """Texas A&M, practical example II: what goes into 100 gallons, times 100 for a 1:100 proportioner."""
    given, printed = example("nut-tamu-injector")
    assert printed["oz_per_100gal_stock"] == printed["oz_per_100gal"] * given["ratio"]
    bag = label(33, 0, 0)
    finished_mg_l = convert(printed["oz_per_100gal"], "oz", "g") / GALLONS_100 * 1000
    grams = stock_of({bag: finished_mg_l}, given["ratio"])[bag] * GALLONS_100
    assert convert(grams, "g", "oz") == pytest.approx(printed["oz_per_100gal_stock"])


def test_coopers_two_concentrates_are_dosed_as_printed():
    """After Cooper: 10 L concentrates that make 1000 L; 100 mL of each for 10 L."""
    given, printed = example("nut-cooper-dilution")
    ratio = given["final_L"] / given["concentrate_L"]
    assert dose_ml(given["batch_L"], ratio) == pytest.approx(printed["mL_of_each"])


def test_calcium_nitrate_is_refused_in_a_stock_with_sulphate_or_phosphate():
    """Mattson and Peters, as relayed by Borgmann: concentrates react and drop white flakes."""
    with pytest.raises(UnmixableStock) as refused:
        stock_of(recipe("leafy").weighed, 100)
    assert {one.kind for one in refused.value.faults} == {"calcium_with_sulphate", "calcium_with_phosphate"}


def test_potassium_chloride_conducts_as_the_handbook_says():
    """CRC Handbook p. 5-73, 0.01 mol/kg KCl at 5 to 35 C; the formula lies within 1.5 %."""
    for temp, microsiemens in value("ec-kcl-crc").items():
        if 5 <= float(temp) <= 35:
            ec = ec_of({"K": 390.98 * 0.9971, "Cl": 354.5 * 0.9971}, float(temp))
            assert ec * 1000 == pytest.approx(microsiemens, rel=0.015), temp


@pytest.mark.parametrize("name", list(recipes()))
def test_the_ec_of_a_recipe_is_near_the_rule_of_the_greenhouse_trade(name):
    """Sonneveld and Voogt 2009: 0.095 mS/cm for each meq/L of cations, and 0.19; from memory."""
    analysis = recipe(name).ppm
    assert ec_of(analysis) == pytest.approx(by_cations(analysis), rel=ERROR)


def test_pairs_take_from_a_third_to_a_fifth_of_the_sulphate_of_a_recipe():
    """Stumm and Morgan 1996: log K 2.36 and 2.37 at such strengths hold about that share; from memory."""
    for one in recipes().values():
        whole = millimoles(one.ppm)
        assert 0.15 < 1 - free_of_pairs(whole)["SO4"] / whole["SO4"] < 0.35
