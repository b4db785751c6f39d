"""The work of the coming days: what is done on one is not to be done on the next."""

from dataclasses import dataclass, replace
from datetime import date, timedelta

import pytest

from core.shifts.ahead import DayWork, work_ahead
from core.tasks import Planted, State

MONDAY = date(2026, 5, 11)


@dataclass(frozen=True)
class Days:
    """A crop's days."""

    cover_days: int = 3
    shelf_days: int = 14
    tower_days: int = 28
    regrow_days: int | None = None
    cuts: int = 1


LETTUCE = Days()
MINT = Days(regrow_days=7, cuts=3)


def farm(*planted, **values):
    empty = {"free": (), "dirty": (), "shelf_room": {"shelf1": 500}, "to_sow": {}, "unread": (), "uncalibrated": ()}
    calendars = {"lettuce": LETTUCE, "mint": MINT}
    return State(calendars=calendars, planted=planted, sites_per_tower=8, tray_cells=100, **empty | values)


def tower(place, crop="lettuce", ready=MONDAY, **values):
    return Planted(crop, place, "tower", 8, ready - timedelta(days=28), **values)


def ahead(state, days=7, staffed=lambda work: True, tanks=(), later=None):
    dates = [MONDAY + timedelta(days=n) for n in range(days)]
    return list(work_ahead(dates, {MONDAY: state, **(later or {})}, tanks, staffed))


def kinds(work: DayWork):
    return [one.what for one in work.works]


def test_what_is_ripe_is_cut_once_and_its_tower_cleaned_the_same_day():
    days = ahead(farm(tower("A1")))
    assert [kinds(one) for one in days] == [["harvest", "clean"], *[[]] * 6]


def test_a_crop_that_grows_again_is_cut_again_after_its_days():
    days = ahead(farm(tower("A1", "mint")), days=15)
    assert [at for at, one in enumerate(days) if "harvest" in kinds(one)] == [0, 7, 14]


def test_what_ripens_on_a_later_day_is_cut_then():
    days = ahead(farm(tower("A1", ready=MONDAY + timedelta(days=3))))
    assert [at for at, one in enumerate(days) if "harvest" in kinds(one)] == [3]


def test_the_work_of_a_day_without_anybody_waits_for_the_next():
    days = ahead(farm(tower("A1")), staffed=lambda work: work.day > MONDAY + timedelta(days=1))
    assert ["harvest" in kinds(one) for one in days] == [True, True, True, False, False, False, False]


def test_plants_move_into_the_tower_that_was_cut_and_cleaned():
    old = Planted("lettuce", "shelf1", "shelf", 8, MONDAY - timedelta(days=14))
    first, second, *_ = ahead(farm(tower("A1"), old))
    assert kinds(first) == ["harvest", "clean", "move"]
    assert kinds(second) == []


def test_trays_sown_are_watered_in_the_next_day_and_come_off_the_cover_after_their_days():
    days = ahead(farm(to_sow={"lettuce": 50}))
    assert [kinds(one) for one in days][:5] == [["sow"], ["water"], [], ["uncover"], []]


def test_what_is_too_much_for_one_day_is_done_on_the_next():
    """Four tasks of six towers a day are cut at most."""
    days = ahead(farm(*(tower(f"A{n}") for n in range(1, 31))))
    cut = [sum(len(one.places) for one in day.works if one.what == "harvest") for day in days]
    assert cut[0] <= 24
    assert sum(cut) == 30


def test_tanks_are_read_every_day_and_a_probe_is_calibrated_once():
    days = ahead(farm(uncalibrated=("main",)), days=3, tanks=("main",))
    assert [kinds(one) for one in days] == [["calibrate", "check"], ["check"], ["check"]]


def test_a_new_week_brings_its_sowing_and_not_what_was_done_before():
    monday = MONDAY + timedelta(days=7)
    fresh = replace(farm(tower("A1")), to_sow={"mint": 20}, uncalibrated=("main",), upkeep=("fans",))
    days = ahead(farm(tower("A1"), uncalibrated=("main",)), days=8, later={monday: fresh})
    assert "calibrate" in kinds(days[0])
    assert kinds(days[7]) == ["sow", "upkeep"]


def test_a_first_day_without_its_state_is_refused():
    with pytest.raises(KeyError):
        list(work_ahead([MONDAY], {}, (), lambda work: True))
