"""A probe led through its calibration: kept, judged, undone, and seen in the readings after it."""

from datetime import timedelta

import pytest
from sqlmodel import select

from core.acts import carry_out
from core.acts.calibrating import RUN_LIVES, Shown, set_aside, step, under_way
from core.books.tables import Calibration, ProbeRun
from core.books.water import last_calibration
from core.notes import Ask, Calibrate, Calibrated, Reading, from_record, to_record
from tests.demo_farm import NOW, scene

MAIN_PH = Calibrate(measure="ph", where="main")


@pytest.fixture
def farm(demo_books):
    with demo_books.write() as session:
        yield session


def kinds(outcome):
    return [one.kind for one in (*outcome.facts, *outcome.remarks)]


def led(farm, *shown, note=MAIN_PH, who="walt", at=NOW):
    """The calibration that comes of what a probe showed, each figure after an OK."""
    where = scene(farm, who, at=at)
    carry_out(note, where)
    came = None
    for one in shown:
        step(under_way(where), None, at)
        came = step(under_way(where), one, at)
    return came


def test_what_the_probe_showed_is_kept_with_slope_offset_and_verdict(farm):
    carry_out(led(farm, Shown(-15), Shown(160)), scene(farm))
    kept = last_calibration(scene(farm).ledger, "ph", "main")
    assert (kept.slope_pct, kept.offset_mv, kept.verdict) == (98.6, -15, "good")
    assert (kept.shown, kept.standards) == ([-15, 160], [7.0, 4.0])
    assert scene(farm).ledger.differences() == []


def test_it_is_taken_back_whole(farm):
    where = scene(farm)
    before = last_calibration(where.ledger, "ph", "main").at
    entry = carry_out(led(farm, Shown(-15), Shown(160)), where).entry
    where.ledger.reverse(entry, where.told)
    assert last_calibration(where.ledger, "ph", "main").at == before
    assert where.ledger.differences() == []


def test_the_note_survives_the_plain_record():
    note = Calibrated(
        measure="ph", where="main", slope_pct=98.6, offset_mv=-15.0, standards=(7.0, 4.0), shown=(7.1, 4.1)
    )
    assert from_record(to_record(note)) == note


def test_a_figure_says_that_the_step_before_it_was_done(farm):
    where = scene(farm)
    carry_out(MAIN_PH, where)
    step(under_way(where), Shown(7.0), NOW)
    came = step(under_way(where), Shown(4.0), NOW)
    assert isinstance(came, Calibrated)
    assert came.slope_pct == pytest.approx(100)


def test_the_temperature_of_the_buffer_is_kept_for_the_next(farm):
    came = led(farm, Shown(7.02, temp_c=20), Shown(4.0))
    assert came.standards == (7.02, 4.0)
    assert came.slope_pct == pytest.approx(100)


def test_pH_and_millivolts_of_one_pen_begin_anew(farm):
    said = led(farm, Shown(7.0), Shown(160, millivolts=True))
    assert [one.kind for one in said] == ["probe_mixed", "probe_rinse_ph"]
    assert under_way(scene(farm)).done == 0


def test_a_figure_of_another_buffer_is_asked_for_again(farm):
    said = led(farm, Shown(4.0))
    assert [one.kind for one in said] == ["probe_odd", "probe_show_ph"]


def test_a_calibration_left_is_taken_up_where_it_was(farm):
    where = scene(farm)
    led(farm, Shown(7.0))
    set_aside(under_way(where), NOW)
    assert kinds(carry_out(MAIN_PH, where)) == ["calibration_again", "probe_set_rinse_ph"]


def test_one_left_too_long_or_of_another_probe_begins_anew(farm):
    led(farm, Shown(7.0))
    late = NOW + RUN_LIVES + timedelta(minutes=1)
    assert under_way(scene(farm, at=late)) is None
    assert kinds(carry_out(MAIN_PH, scene(farm, at=late))) == ["probe_rinse_ph"]
    assert kinds(carry_out(Calibrate(measure="ec", where="main"), scene(farm, at=late))) == ["probe_rinse_ec"]
    assert len(farm.exec(select(ProbeRun)).all()) == 1


def test_two_people_calibrate_at_once_without_disturbing_each_other(farm):
    led(farm, Shown(7.0))
    led(farm, note=Calibrate(measure="ec", where="nursery"), who="keisha")
    assert under_way(scene(farm)).measure == "ph"
    assert under_way(scene(farm, "keisha")).measure == "ec"


def test_a_probe_nobody_calibrates_is_said_to_be_none_of_these(farm):
    assert kinds(carry_out(Calibrate(measure="level", where="main"), scene(farm))) == ["not_calibrated_here"]


def test_a_reading_of_a_late_probe_is_marked_until_it_is_calibrated(farm):
    reading = Reading(measure="ph", value=6.0, where="main")
    assert "reading_late_probe" in kinds(carry_out(reading, scene(farm)))
    carry_out(Calibrated(measure="ph", where="main"), scene(farm))
    assert "reading_late_probe" not in kinds(carry_out(reading, scene(farm)))


def test_a_reading_of_a_probe_that_did_badly_is_marked(farm):
    carry_out(led(farm, Shown(35), Shown(160)), scene(farm))
    assert "reading_bad_probe" in kinds(carry_out(Reading(measure="ph", value=6.0, where="main"), scene(farm)))


def test_what_is_due_is_listed_and_one_probe_has_its_history_and_drift(farm):
    due = carry_out(Ask(about="calibration"), scene(farm)).facts[0]
    listed = [(one.values["measure"], one.values["where"]) for one in due.values["probes"]]
    assert listed == [("ph", "main"), ("ec", "nursery")]
    for days, four in ((14, 177.0), (7, 170.0)):
        at = NOW - timedelta(days=days)
        carry_out(led(farm, Shown(0, millivolts=True), Shown(four), at=at), scene(farm, at=at))
    told = carry_out(Ask(about="calibration", measure="ph", where="main"), scene(farm)).facts
    assert [one.kind for one in told] == ["probe_history", "probe_drift"]
    assert told[1].values["slope"].startswith("-")
    assert farm.exec(select(Calibration).where(Calibration.slope_pct.is_not(None))).all()
