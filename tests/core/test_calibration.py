"""Probes: standards between the rows, the steps of a run, the judgement, what is due and how a probe drifts."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.calibration import (
    MixedFigures,
    Result,
    Run,
    drift,
    is_due,
    nernst_mv,
    overdue_days,
    probe,
    probes,
    result_of,
    standard,
)
from core.errors import NotListed, OutOfRange

NOW = datetime(2026, 5, 4, 14, tzinfo=UTC)


def ph_run(seven, four, temp=25.0):
    return Run("ph").go_on().show(seven, temp).go_on().show(four, temp)


@given(st.floats(0, 50))
def test_a_buffer_between_two_rows_lies_between_their_values(temp):
    values = standard("ph7").values
    assert min(values.values()) <= standard("ph7").at(temp) <= max(values.values())
    assert standard("ph7").at(25) == 7.0


@given(st.floats(85.5, 104.5), st.floats(-29, 29), st.floats(5, 45))
def test_an_electrode_of_any_slope_is_found_again(slope, offset, temp):
    """A made electrode, read in millivolts, whatever the temperature of the buffers."""
    seven, four = (standard(name).at(temp) for name in probe("ph").standards)
    steep = slope / 100 * (seven - four) * nernst_mv(temp)
    run = Run("ph").go_on().show(offset, temp, millivolts=True).go_on().show(offset + steep, temp)
    found = result_of(run, temp)
    assert found.slope_pct == pytest.approx(slope)
    assert found.offset_mv == pytest.approx(offset)
    assert found.verdict == ("good" if 95 <= slope <= 105 else "fair")


def test_a_pen_read_in_pH_tells_how_far_it_went_since_the_last_time():
    found = result_of(ph_run(7.1, 4.1))
    assert found.slope_pct == pytest.approx(100)
    assert found.offset_mv == pytest.approx(-5.9, abs=0.1)


def test_the_steps_of_a_pH_probe_go_from_buffer_7_to_buffer_4():
    run = Run("ph")
    seen = []
    while run.step:
        seen.append((run.step, run.standard.name))
        run = run.show(run.standard.at(22), 22) if run.step == "show" else run.go_on()
    assert seen == [("rinse", "ph7"), ("show", "ph7"), ("set_rinse", "ph4"), ("show", "ph4")]
    assert run.standards == (pytest.approx(7.012), 4.0)


def test_an_ec_probe_is_judged_by_what_it_shows_of_its_standard():
    run = Run("ec").go_on().show(1300, 25)
    assert result_of(run) == Result(pytest.approx(92.0, abs=0.01), None, "fair")


@pytest.mark.parametrize(
    "wrong", [lambda: ph_run(95, 177), lambda: ph_run(7.0, 7.0), lambda: Run("ec").go_on().show(12, 25)]
)
def test_a_figure_of_the_wrong_standard_is_refused(wrong):
    with pytest.raises(OutOfRange, match="right standard"):
        wrong()


@pytest.mark.parametrize(("seven", "four"), [(-20, 4.0), (7.0, 177)])
def test_pH_beside_millivolts_is_refused(seven, four):
    with pytest.raises(MixedFigures, match="both as mV"):
        ph_run(seven, four)


def test_an_unfinished_run_has_no_result():
    with pytest.raises(OutOfRange, match="not finished"):
        result_of(Run("ph").go_on().show(7.0, 25))


def test_a_standard_out_of_its_table_is_refused():
    with pytest.raises(OutOfRange, match="0-50"):
        standard("ph7").at(60)


def test_a_probe_is_due_when_it_never_was_calibrated_or_its_days_are_over():
    week = timedelta(days=probe("ph").every_days)
    assert is_due("ph", None, NOW)
    assert is_due("ph", NOW - week, NOW)
    assert not is_due("ph", NOW - week + timedelta(minutes=1), NOW)
    assert overdue_days("ph", NOW - week - timedelta(days=3), NOW) == 3


def test_what_is_not_calibrated_is_never_due():
    assert "level" not in probes()
    assert not is_due("level", None, NOW)
    with pytest.raises(NotListed, match="ph"):
        probe("level")


def test_drift_is_told_for_a_week():
    before, after = Result(100, -3, "good"), Result(96, 3, "good")
    assert drift(before, after, 14) == (-2, 3)
    assert drift(Result(98, None, "good"), Result(97, None, "good"), 7) == (-1, None)
    with pytest.raises(OutOfRange):
        drift(before, after, 0)
