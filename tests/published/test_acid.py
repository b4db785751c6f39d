"""Acid for alkalinity: against published tables, with their known disagreements named."""

import pytest

from core.dosing.acids import bottle, dose, nutrient_ppm
from core.dosing.carbonate import MG_CACO3_A_MEQ, Buffers, acid_needed, buffers_of, charge, pk_carbonate, pk_water
from core.units import convert
from tests.published.records import example, value

GALLONS_100 = convert(100, "gal", "L")
NAMES = {"H2SO4": "sulphuric", "HNO3": "nitric", "H3PO4": "phosphoric", "citric": "citric"}


def ml_for(acid, ppm_caco3, eq_mol):
    """By stoichiometry, as the tables reckon: so many mg/L of alkalinity in 100 gallons, at protons a molecule."""
    return ppm_caco3 / MG_CACO3_A_MEQ / eq_mol / acid.mol_l * GALLONS_100


def acid_of(record):
    given, printed = example(record)
    return bottle(NAMES[given["acid"]], given["pct"], given.get("sg")), given, printed


def test_half_of_the_molar_mass_of_calcium_carbonate_is_a_milliequivalent():
    """Equivalent mass of CaCO3; from memory."""
    printed = value("acid-equiv")["ppm_CaCO3_per_meq_L"]
    assert pytest.approx(printed, abs=0.005) == MG_CACO3_A_MEQ


@pytest.mark.parametrize(
    ("record", "element", "key"), [("acid-pt-h2so4-35", "S", "ppm_S"), ("acid-pt-hno3-67", "N_NO3", "ppm_N")]
)
def test_strong_acids_are_dosed_as_the_table_says(record, element, key):
    """Premier Tech, Acid Choices for Reducing Water Alkalinity, Table 1: fluid ounces for 50 ppm in 100 gallons."""
    acid, given, printed = acid_of(record)
    ml = ml_for(acid, given["ppm"], acid.substance.equivalents(5.8))
    assert convert(ml, "mL", "floz") == pytest.approx(printed["fl_oz"], rel=0.015)
    ml_l = convert(printed["fl_oz"], "floz", "mL") / GALLONS_100
    assert nutrient_ppm(acid, ml_l)[element] == pytest.approx(printed[key], rel=0.01)


def test_phosphoric_acid_brings_the_phosphorus_the_table_says():
    """Premier Tech, Table 1: 0.94 fl oz of 75 % in 100 gallons is 27.5 ppm P; the density is ours, from memory."""
    acid, _, printed = acid_of("acid-pt-h3po4-75")
    ml_l = convert(printed["fl_oz"], "floz", "mL") / GALLONS_100
    assert nutrient_ppm(acid, ml_l)["P"] == pytest.approx(printed["ppm_P"], rel=0.005)


def test_phosphoric_acid_gives_the_protons_that_the_table_implies_at_a_pH_of_the_trade():
    """Premier Tech's volume implies 1.13 protons a molecule: the acid's own pK give that near pH 6.3, and never just 1."""
    acid, given, printed = acid_of("acid-pt-h3po4-75")
    implied = ml_for(acid, given["ppm"], 1.0) / convert(printed["fl_oz"], "floz", "mL")
    assert acid.substance.equivalents(5.5) < implied < acid.substance.equivalents(6.5)


def test_citric_acid_gives_the_protons_that_the_table_implies_at_a_pH_of_the_trade():
    """Premier Tech, Table 1, 50 % citric acid, density 1.24 assumed: 2.23 protons a molecule."""
    acid, given, printed = acid_of("acid-pt-citric-50")
    implied = ml_for(acid, given["ppm"], 1.0) / convert(printed["fl_oz"], "floz", "mL")
    assert acid.substance.equivalents(5.5) < implied < acid.substance.equivalents(6.5)


def test_sulphuric_acid_of_93_percent_is_within_the_rounding_of_the_worked_example():
    """UMass Extension, Adjusting Alkalinity with Acids: 250 to 150 mg/L takes 23 mL, by its factor of 0.23 (6 % high)."""
    given, printed = example("acid-umass-example")
    ml = ml_for(bottle("sulphuric", 93), given["current"] - given["target"], 2.0)
    assert ml == pytest.approx(printed["mL_per_100gal"], rel=0.06)


def test_the_alkalinity_a_fluid_ounce_takes_is_that_of_the_table():
    """UMass Table 1: 136 ppm and 43.6 ppm S a fluid ounce of 93 % sulphuric; 0.56 mL a ppm of 63 % nitric."""
    given, printed = example("acid-umass-table")
    sulphuric = bottle("sulphuric", 93, given["rows"]["H2SO4_93"]["sg"])
    floz = convert(1, "floz", "mL")
    assert floz / ml_for(sulphuric, 1, 2.0) == pytest.approx(printed["H2SO4_93"]["ppm_alk_per_floz"], rel=0.005)
    assert nutrient_ppm(sulphuric, floz / GALLONS_100)["S"] == pytest.approx(43.6, rel=0.005)
    nitric = bottle("nitric", 63, given["rows"]["HNO3_63"]["sg"])
    assert ml_for(nitric, 1, 1.0) == pytest.approx(printed["HNO3_63"]["mL"], rel=0.03)


def test_the_two_tables_for_phosphoric_acid_differ_by_the_density_that_one_assumed():
    """UMass's 0.70 mL a ppm comes out at density 1.381, that of nitric acid; at 1.58 it is 0.63. So it is an input."""
    _, printed = example("acid-umass-table")
    assert ml_for(bottle("phosphoric", 75, 1.381), 1, 1.0) == pytest.approx(printed["H3PO4_75"]["mL"], rel=0.03)
    assert ml_for(bottle("phosphoric", 75, 1.58), 1, 1.0) == pytest.approx(0.626, abs=0.002)


def test_the_bicarbonate_neutralised_at_each_pH_is_that_of_the_closed_system():
    """Henderson-Hasselbalch with pK1 6.35; from memory, and the 80 % rule of NC State at pH 5.8."""
    for ph, share in value("acid-hco3-fraction").items():
        assert 1 - charge(float(ph), pk_carbonate(25)) == pytest.approx(share, abs=0.002), ph


def test_four_fifths_of_the_alkalinity_is_acid_for_a_pH_near_5_8():
    """Bailey, Alkalinity, pH, and Acidification, NC State 1996: 80 %; from memory."""
    water = buffers_of(4.0, 8.3)
    assert acid_needed(water, 8.3, 5.8) / 4.0 == pytest.approx(0.80, abs=0.03)


@pytest.mark.parametrize(("acid", "percent"), [("nitric", 67), ("phosphoric", 75), ("sulphuric", 35)])
def test_the_dose_for_a_milliequivalent_is_near_the_factors_of_the_calculator(acid, percent):
    """Whipker, Bailey et al., Purdue/NC State: 6.6, 8.1, 11.0 fl oz in 1000 gal a meq/L to pH 5.8; from memory, 8 %."""
    factors = {"nitric": "HNO3_67", "phosphoric": "H3PO4_75", "sulphuric": "H2SO4_35"}
    litres = convert(1000, "gal", "L")
    reckoned = dose(bottle(acid, percent), buffers_of(4.0, 8.0), 8.0, 5.8, litres)
    assert convert(reckoned.ml, "mL", "floz") / 4.0 == pytest.approx(
        value("acid-ncsu-factors")[factors[acid]], rel=0.08
    )


def test_the_constants_are_those_of_25_degrees():
    """Plummer and Busenberg 1982: 6.352 and 10.329; water 14.00."""
    assert pk_carbonate(25) == pytest.approx((6.352, 10.329), abs=0.001)
    assert pk_water(25) == pytest.approx(14.0, abs=0.002)


def test_pure_water_with_carbonate_alone_is_buffered_by_nothing_at_its_own_pH():
    """CO2 water without alkalinity is where carbonate and protons balance: acid to stay there is none."""
    assert acid_needed(Buffers(1.0), 5.0, 5.0) == 0.0
