"""What if: the farm changed, planned again, and laid beside the plan as it was."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from core.planning.changes import Lost, NewCrop, PlacesOut, TargetTimes, WeeksClosed, changed, what_if
from core.planning.model import Crop, Demand, Problem, Room, Standing
from core.planning.sowing_plan import plan

MONDAY = date(2026, 5, 4)
LETTUCE = Crop(slug="lettuce", cover_days=2, shelf_days=12, tower_days=28, wait_weeks=0)
KALE = Crop(slug="kale", cover_days=3, shelf_days=11, tower_days=28, regrow_days=14, cuts=3, wait_weeks=0)
WEEKS = 14


@pytest.fixture
def farm():
    """A lettuce farm in its stride: 20 heads stand for each of the next six weeks, 20 are wanted a week."""
    stands = [(f"A{week + 1}", MONDAY + timedelta(days=7 * week - 28)) for week in range(4)]
    return Problem(
        today=MONDAY,
        weeks=WEEKS,
        crops=(LETTUCE,),
        room=Room(cover_cells=(200.0,) * WEEKS, shelf_cells=(200.0,) * WEEKS, tower_sites=(80.0,) * WEEKS),
        standing=(
            *(Standing(crop="lettuce", where="tower", plants=20, since=since, places=(at,)) for at, since in stands),
            Standing(crop="lettuce", where="shelf", plants=20, since=MONDAY - timedelta(days=12), places=("shelf1",)),
            Standing(crop="lettuce", where="shelf", plants=20, since=MONDAY - timedelta(days=5), places=("shelf1",)),
        ),
        demand=tuple(Demand(crop="lettuce", week=week, heads=20, priority=1) for week in range(WEEKS)),
    )


def test_as_it_is_the_farm_meets_every_wish(farm):
    assert plan(farm).missing == pytest.approx(0, abs=0.1)


def test_a_lost_batch_is_missing_in_its_week_and_nowhere_else(farm):
    _, after, found = what_if(farm, Lost(places=frozenset({"A3"})))
    assert [(one.demand.week, round(one.heads)) for one in after.wanted_short] == [(2, 20)]
    assert found.missing == pytest.approx({"lettuce": 20})


def test_a_lost_crop_is_all_of_it(farm):
    assert changed(farm, Lost(crop="lettuce")).standing == ()
    assert changed(farm, Lost(crop="kale")).standing == farm.standing


def test_places_out_of_use_hold_nothing_for_that_time(farm):
    out = PlacesOut(
        where="tower", sites=40, first=MONDAY + timedelta(weeks=8), last=MONDAY + timedelta(weeks=9, days=6)
    )
    _, after, found = what_if(farm, out)
    assert max(after.tower[8:10]) <= 40 + 1e-6
    assert found.missing["lettuce"] > 10


def test_places_out_of_use_for_good_have_no_last_day(farm):
    room = changed(farm, PlacesOut(where="tower", sites=50, first=MONDAY + timedelta(weeks=2))).room
    assert room.tower_sites == (80, 80, *(30,) * (WEEKS - 2))


def test_in_a_closed_week_nothing_is_done_and_nothing_is_wanted(farm):
    _, after, _ = what_if(
        farm, WeeksClosed(first=MONDAY + timedelta(weeks=3), last=MONDAY + timedelta(weeks=3, days=6))
    )
    assert (after.sow["lettuce"][3], after.heads["lettuce"][3]) == (0, 0)
    assert all(one.demand.week != 3 for one in after.short)


def test_a_doubled_target_is_sown_for_as_far_as_the_towers_go(farm):
    before, after, found = what_if(farm, TargetTimes(factor=2.0, crop="lettuce"))
    assert max(after.tower) <= 80 + 1e-6
    assert found.missing["lettuce"] > 100
    assert sum(after.heads["lettuce"]) >= sum(before.heads["lettuce"]) - 0.1


def test_a_new_crop_is_sown_where_there_is_room_for_it(farm):
    room = replace(farm.room, tower_sites=(200.0,) * WEEKS)
    _, after, found = what_if(replace(farm, room=room), NewCrop(crop=KALE, heads=10))
    assert found.plugs_now["kale"] > 0
    assert sum(after.heads["kale"]) > 50


def test_a_change_that_changes_nothing_makes_no_difference(farm):
    _, _, found = what_if(farm, TargetTimes(factor=1.0))
    assert (found.plugs_now, found.heads, found.missing, found.given_up) == ({}, {}, {}, 0)
