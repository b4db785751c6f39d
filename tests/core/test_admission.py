"""What is delivered is taken in the measure's own unit, or refused with the reason."""

import math
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.notes import MEASURES, TANK_MEASURES
from core.readings import possible
from core.readings.admission import AHEAD, UNITS, Fault, Raw, Taken, admit
from core.units import convert

NOW = datetime(2026, 5, 4, 14, tzinfo=UTC)
TANKS = {"nursery": 60.0, "main": 420.0}


def admitted(measure="ph", value=6.0, unit="", where="main", at=NOW):
    return admit(Raw(measure, value, unit, where, at), TANKS, NOW)


@pytest.mark.parametrize(
    ("measure", "value", "unit", "where", "kept"),
    [
        ("ec", 1600, "uS/cm", "main", 1.6),
        ("ec", 1.6, "dS/m", "main", 1.6),
        ("ec", 800, "ppm500", "main", 1.6),
        ("ec", 1120, "PPM700", "main", 1.6),
        ("air_temp", 50, "°F", "", 10),
        ("water_temp", 20.5, "degC", "nursery", 20.5),
        ("level", 210, "L", "main", 50),
        ("humidity", 61, "%", "room", 61),
    ],
)
def test_units_are_converted(measure, value, unit, where, kept):
    assert admitted(measure, value, unit, where).value == pytest.approx(kept)


@pytest.mark.parametrize(
    ("fields", "kind"),
    [
        ({"measure": "ec", "value": 1050, "unit": "ppm"}, "scale"),
        ({"measure": "ec", "value": 1.6, "unit": ""}, "unit"),
        ({"measure": "water_temp", "value": 68, "unit": ""}, "unit"),
        ({"unit": "mg/L"}, "unit"),
        ({"value": 14.1}, "impossible"),
        ({"value": math.nan}, "impossible"),
        ({"value": -math.inf}, "impossible"),
        ({"measure": "level", "value": 500, "unit": "L"}, "impossible"),
        ({"where": ""}, "where"),
        ({"where": "room"}, "where"),
        ({"measure": "co2", "value": 700, "where": "main"}, "where"),
        ({"measure": "ph level"}, "measure"),
        ({"at": NOW + AHEAD + timedelta(seconds=1)}, "future"),
    ],
)
def test_what_cannot_be_taken_is_refused_for_its_reason(fields, kind):
    found = admitted(**fields)
    assert isinstance(found, Fault)
    assert found.kind == kind


def test_a_clock_that_runs_a_little_fast_is_no_fault():
    assert isinstance(admitted(at=NOW + AHEAD), Taken)


@given(st.sampled_from(MEASURES), st.floats(allow_nan=True), st.text(max_size=8), st.text(max_size=8))
def test_whatever_comes_is_taken_possible_or_refused(measure, value, unit, where):
    found = admit(Raw(measure, value, unit, where, NOW), TANKS, NOW)
    assert isinstance(found, Fault) or possible(measure, found.value)


@given(st.sampled_from(sorted(UNITS["ec"])), st.floats(0, 19))
def test_the_same_strength_is_the_same_in_every_unit(unit, strength):
    written = convert(strength, "mS/cm", UNITS["ec"][unit])
    found = admitted("ec", written, unit)
    assert isinstance(found, Taken)
    assert found.value == pytest.approx(strength, abs=1e-3)


def test_every_measure_has_its_units():
    assert set(UNITS) == set(MEASURES)
    assert set(TANK_MEASURES) < set(MEASURES)
