"""Probes: buffer and conductivity tables, the slope of theory, and a worked example of slope and offset."""

import pytest

from core.calibration import Run, judge, nernst_mv, probe, result_of, standard
from core.dosing.ec import at_25
from tests.published.records import example, value


@pytest.mark.parametrize(("name", "column"), [("ph4", 0), ("ph7", 1), ("ph10", 2)])
def test_every_row_of_the_buffer_table_is_held(name, column):
    """Foxboro manual MI 611-211, Table 7, p. 23: American technical buffers from 0 to 50 degC."""
    table = value("ph-buffers")
    assert {float(temp): row[column] for temp, row in table.items()} == standard(name).values


def test_the_1413_standard_follows_the_chart_of_its_maker():
    """Hanna HI 8733 manual p. 13, 0 to 29 degC."""
    for temp, microsiemens in value("ec-1413-hanna").items():
        if float(temp) <= 29:
            assert standard("ec1413").at(float(temp)) == pytest.approx(microsiemens, rel=0.0025), temp


def test_the_1413_standard_follows_the_curve_of_nist():
    """CRC Handbook p. 5-73 (0.01 molal KCl), scaled to 1413 at 25 degC; 0.3 % from 10 to 30 degC."""
    curve = value("ec-kcl-crc")
    for temp in ("10", "15", "20", "25", "30"):
        expected = curve[temp] * 1413 / curve["25"]
        assert standard("ec1413").at(float(temp)) == pytest.approx(expected, rel=0.003), temp


def test_an_uncorrected_reading_is_brought_to_25_degrees():
    """Van Essen CTD-Diver manual 2022 p. 5: 5 mS/cm at 25 degC reads about 4 at 15, by the rule of 2 %."""
    assert value("ec-temp")["alpha"] == 1.91
    assert at_25(4.0, 15) == pytest.approx(5.0, rel=0.015)


def test_the_standard_rises_by_the_published_share_for_each_degree():
    """Mettler Toledo S230 manual p. 45: 1.94 %/degC between 20 and 30; 1.88 to 1.99 is allowed for."""
    at = standard("ec1413").at
    rise = (at(30) - at(20)) / 10 / 1413 * 100
    assert 1.88 < rise < 1.99
    assert value("ec-alpha-1413") == 1.94


@pytest.mark.parametrize(("key", "temp"), [("t0", 0), ("t20", 20), ("t25", 25), ("t30", 30), ("t50", 50)])
def test_the_slope_of_theory_is_nernsts(key, temp):
    """R T ln 10 / F; 54, 59.16 and 64 mV in Hanna's note."""
    assert nernst_mv(temp) == pytest.approx(value("nernst")[key], abs=0.006)


@pytest.mark.parametrize(
    ("electrode", "difference", "usable"), [("electrode1", "e1_diff", True), ("electrode2", "e2_diff", False)]
)
def test_the_two_worked_electrodes_are_judged_as_printed(electrode, difference, usable):
    """Electrode maker's note: -15 and 160 mV works, 15 and 160 mV has an unacceptable slope."""
    given, printed = example("ph-slope-1")
    millivolts = given[electrode]
    assert millivolts["mV_4"] - millivolts["mV_7"] == printed[difference]
    run = Run("ph").go_on().show(millivolts["mV_7"], 25).go_on().show(millivolts["mV_4"], 25)
    found = result_of(run)
    assert found.slope_pct == pytest.approx(printed[difference] / (3 * 59.16) * 100, abs=0.01)
    assert (found.verdict != "bad") == usable


def test_the_bands_of_slope_and_offset_are_the_published_ones():
    """The same note: 85 to 105 %, 30 mV either side; 95 to 105 % is the tighter band of field manuals, from memory."""
    _, printed = example("ph-slope-1")
    low, high = printed["accept_pct"]
    assert judge("ph", low, 0) == "fair"
    assert judge("ph", high, 0) == "good"
    assert judge("ph", low - 0.1, 0) == judge("ph", high + 0.1, 0) == "bad"
    for offset in printed["accept_offset_mV"]:
        assert judge("ph", 100, offset) == "good"
        assert judge("ph", 100, offset * 1.01) == "bad"


def test_a_pH_probe_is_calibrated_weekly_in_points_three_pH_apart():
    """TPS MC-81 manual p. 14: one point weekly; two points at least 3 pH apart."""
    assert value("cal-frequency")["one_point"] == "weekly"
    assert probe("ph").every_days == 7
    seven, four = (standard(name).at(25) for name in probe("ph").standards)
    assert seven - four >= 3.0
