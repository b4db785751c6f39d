"""Air and light: which way each figure goes, round trips and edges."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.climate import (
    dew_point_c,
    dli_mol,
    drips_on,
    hours_for,
    judge_co2,
    lamp_heat_btu_h,
    saturation_kpa,
    vapour_kpa,
    vpd_kpa,
)
from core.errors import OutOfRange

TEMPS = st.floats(1, 45)
HUMIDITIES = st.floats(1, 100)


@given(TEMPS, HUMIDITIES)
def test_air_cooled_to_its_dew_point_is_saturated(temp, humidity):
    dew = dew_point_c(temp, humidity)
    assert dew <= temp + 1e-9
    assert saturation_kpa(max(dew, -30)) == pytest.approx(vapour_kpa(temp, humidity), rel=1e-6) or dew < -30


@given(TEMPS, st.floats(1, 99), st.floats(0.1, 1))
def test_drier_air_takes_up_more_and_drips_later(temp, humidity, less):
    assert vpd_kpa(temp, humidity * (1 - less / 10)) > vpd_kpa(temp, humidity)
    assert dew_point_c(temp, humidity * (1 - less / 10)) < dew_point_c(temp, humidity)


def test_saturated_air_takes_up_nothing_and_wets_everything_as_cold_as_itself():
    assert vpd_kpa(22, 100) == pytest.approx(0, abs=1e-12)
    assert drips_on(21.9, 22, 100)


def test_a_leaf_colder_than_the_dew_point_gets_wet():
    assert vpd_kpa(24, 80, leaf_c=18) < 0 < vpd_kpa(24, 80, leaf_c=23)


@given(st.floats(50, 1000), st.floats(0.5, 24))
def test_the_hours_for_a_light_integral_give_it(ppfd, hours):
    assert hours_for(dli_mol(ppfd, hours), ppfd) == pytest.approx(hours)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: saturation_kpa(80),
        lambda: dew_point_c(22, 0),
        lambda: dew_point_c(22, 101),
        lambda: dli_mol(-1, 16),
        lambda: dli_mol(250, 25),
        lambda: hours_for(17, 0),
        lambda: hours_for(40, 100),
        lambda: lamp_heat_btu_h(-5),
    ],
)
def test_nonsense_is_refused_with_what_to_do(wrong):
    with pytest.raises(OutOfRange) as refused:
        wrong()
    assert refused.value.hint


@given(st.floats(0, 60_000), st.floats(0, 20_000))
def test_more_carbon_dioxide_is_never_judged_milder(ppm, more):
    order = ["fine", "leave", "nobody_in", "deadly"]
    assert order.index(judge_co2(ppm + more)) >= order.index(judge_co2(ppm))
