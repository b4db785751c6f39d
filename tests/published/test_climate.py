"""Moist air and light: against FAO-56's numbered examples, PsychroLib, DLI tables and the workplace limits."""

import psychrolib
import pytest

from core.climate import (
    BTU_H_A_WATT,
    dew_point_c,
    dew_point_of,
    dli_mol,
    drips_on,
    hours_for,
    judge_co2,
    lamp_heat_btu_h,
    saturation_kpa,
    vapour_kpa,
    vpd_kpa,
)
from tests.published.records import example, value


@pytest.fixture(autouse=True, scope="module")
def _metric_psychrolib():
    psychrolib.SetUnitSystem(psychrolib.SI)


def half_of(one, other):
    return (one + other) / 2


def test_fao56_example_3_saturation_of_a_day():
    """Example 3, p. 69: e0(24.5) 3.075, e0(15) 1.705, and their mean 2.39 kPa."""
    given, printed = example("vpd-ex3")
    warm, cold = saturation_kpa(given["Tmax"]), saturation_kpa(given["Tmin"])
    assert warm == pytest.approx(printed["e0_Tmax"], abs=6e-4)
    assert cold == pytest.approx(printed["e0_Tmin"], abs=6e-4)
    assert half_of(warm, cold) == pytest.approx(printed["es"], abs=0.005)


def test_fao56_example_4_saturation_at_the_wet_bulb():
    """Example 4, p. 70: e0(19.5) 2.267 kPa."""
    given, printed = example("vpd-ex4")
    assert saturation_kpa(given["Twet"]) == pytest.approx(printed["e0_Twet"], abs=6e-4)


def test_fao56_example_5_and_6_vapour_and_deficit_of_a_day():
    """Examples 5, p. 72, and 6: ea 1.70, deficit 0.91 kPa, from a day's two temperatures and humidities."""
    given, printed = example("vpd-ex5")
    vapour = half_of(vapour_kpa(given["Tmin"], given["RHmax"]), vapour_kpa(given["Tmax"], given["RHmin"]))
    assert vapour == pytest.approx(printed["ea_eq17"], abs=0.005)
    assert vapour_kpa(given["Tmin"], given["RHmax"]) == pytest.approx(printed["ea_eq18"], abs=0.005)
    deficit = half_of(vpd_kpa(given["Tmin"], given["RHmax"]), vpd_kpa(given["Tmax"], given["RHmin"]))
    assert deficit == pytest.approx(example("vpd-ex6")[1]["VPD"], abs=0.005)


def test_fao56_example_17_deficit_of_a_month():
    """Example 17, pp. 110-111: es 4.42, ea 2.85, deficit 1.57 kPa; temperatures from memory."""
    given, printed = example("vpd-ex17")
    saturated = half_of(saturation_kpa(given["Tmax"]), saturation_kpa(given["Tmin"]))
    assert saturated - given["ea"] == pytest.approx(printed["VPD"], abs=0.005)


def test_fao56_example_18_vapour_of_a_day():
    """Example 18, p. 113: ea 1.409 kPa; inputs from memory."""
    given, printed = example("vpd-ex18")
    vapour = half_of(vapour_kpa(given["Tmin"], given["RHmax"]), vapour_kpa(given["Tmax"], given["RHmin"]))
    assert vapour == pytest.approx(printed["ea"], abs=6e-4)


def test_fao56_example_20_vapour_at_the_dew_point():
    """Example 20, p. 121: 14.8 degC as dew point is 1.68 kPa."""
    given, printed = example("vpd-ex20")
    assert saturation_kpa(given["Tmin"]) == pytest.approx(printed["ea"], abs=0.005)
    assert dew_point_of(saturation_kpa(given["Tmin"])) == pytest.approx(given["Tmin"])


def test_the_table_of_saturation_is_reproduced_to_its_last_digit():
    """FAO-56, annex 2, table 2.3; rows without an example are from memory."""
    for temp, kpa in value("vpd-table23").items():
        assert saturation_kpa(float(temp)) == pytest.approx(kpa, abs=6e-4), temp


def test_the_dew_points_are_those_of_the_table():
    """FAO-56 equation 14 solved; values from memory."""
    printed = value("vpd-dewpoint")
    assert dew_point_c(25, 50) == pytest.approx(printed["T25_RH50"], abs=0.01)
    assert dew_point_c(20, 60) == pytest.approx(printed["T20_RH60"], abs=0.01)


@pytest.mark.parametrize("temp", [5, 12, 18, 22.2, 26, 30, 38])
@pytest.mark.parametrize("humidity", [20, 45, 60, 75, 95])
def test_air_is_as_in_psychrolib(temp, humidity):
    """PsychroLib 2.5 (ASHRAE Handbook of Fundamentals 2017, eq. 5 and 6): within half a hundredth."""
    vapour = psychrolib.GetVapPresFromRelHum(temp, humidity / 100) / 1000
    assert vapour_kpa(temp, humidity) == pytest.approx(vapour, rel=0.003)
    deficit = psychrolib.GetVaporPressureDeficit(
        temp, psychrolib.GetHumRatioFromRelHum(temp, humidity / 100, 101325), 101325
    )
    assert vpd_kpa(temp, humidity) == pytest.approx(deficit / 1000, rel=0.005)


@pytest.mark.parametrize("temp", [12, 18, 22.2, 26, 30, 38])
@pytest.mark.parametrize("humidity", [45, 60, 75, 95])
def test_the_dew_point_is_as_in_psychrolib(temp, humidity):
    """The same; dew points above freezing, for below it PsychroLib goes by ice."""
    expected = psychrolib.GetTDewPointFromRelHum(temp, humidity / 100)
    assert expected > 0
    assert dew_point_c(temp, humidity) == pytest.approx(expected, abs=0.05)


def test_a_wall_drips_where_psychrolib_has_the_dew_point():
    wet = psychrolib.GetTDewPointFromRelHum(24, 0.7)
    assert drips_on(wet - 0.2, 24, 70)
    assert not drips_on(wet + 0.2, 24, 70)


def test_every_cell_of_the_light_table_is_reproduced():
    """farmergrows.com, average PPFD table: PPFD by 10, 12, 14, 16, 18 hours."""
    for ppfd, row in value("dli-table").items():
        for hours, printed in zip((10, 12, 14, 16, 18), row, strict=True):
            assert dli_mol(float(ppfd), hours) == pytest.approx(printed, abs=0.0501), (ppfd, hours)


@pytest.mark.parametrize("record", ["dli-spectrum", "dli-300-16"])
def test_the_worked_examples_of_light(record):
    """Spectrum Technologies note 102 (1.6 mol, printed to one digit); farmergrows.com (17.28)."""
    given, printed = example(record)
    assert dli_mol(given["PPFD"], given["hours"]) == pytest.approx(printed["DLI"], abs=0.05)


def test_lettuce_gets_its_17_moles_in_as_many_hours_as_reckoned_beside_the_source():
    """17 mol/m2/d for lettuce (Both et al., cited in Horticulturae 6(1):7): 295 umol in 16 h, 262 in 18, 197 in 24."""
    wanted = value("dli-lettuce")["Both_et_al"]
    for hours, ppfd in ((16, 295), (18, 262), (23.97, 197)):
        assert hours_for(wanted, ppfd) == pytest.approx(hours, abs=0.05)


@pytest.mark.parametrize(("watts", "printed"), [(1060, 3617), (550, 1877), (335, 1143)])
def test_lamps_heat_as_printed(watts, printed):
    """boulderlamp.com, Heat generated by a grow light; 3.412 BTU/h a watt."""
    assert pytest.approx(value("light-heat"), abs=5e-4) == BTU_H_A_WATT
    assert lamp_heat_btu_h(watts) == pytest.approx(printed, abs=0.5)


def test_a_closed_container_is_judged_by_the_workplace_limits():
    """29 CFR 1910.1000 Table Z-1 (5,000 ppm in 8 h); NIOSH 30,000 in 15 minutes and 40,000 at once, by secondary pages."""
    limits = value("co2-limits")
    assert judge_co2(limits["OSHA_PEL_8h"]) == "fine"
    assert judge_co2(limits["OSHA_PEL_8h"] + 1) == "leave"
    assert judge_co2(limits["STEL_15min"] + 1) == "nobody_in"
    assert judge_co2(limits["IDLH"]) == "deadly"
