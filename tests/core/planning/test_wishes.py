"""Why a wish cannot be met and what would: each answer is tried out on the plan itself."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from core.planning.model import TO_SPARE, Crop, Demand, Problem, Room
from core.planning.sowing_plan import plan
from core.planning.wishes import next_short, reasons

MONDAY = date(2026, 5, 4)
WEEKS = 14
LETTUCE = Crop(slug="lettuce", cover_days=2, shelf_days=12, tower_days=28, wait_weeks=0)
OAK = replace(LETTUCE, slug="oak")


def farm(sites=400.0, minutes=None, crops=(LETTUCE,), first=6, **more):
    room = Room(
        cover_cells=(500.0,) * WEEKS,
        shelf_cells=(500.0,) * WEEKS,
        tower_sites=(sites,) * WEEKS,
        minutes=None if minutes is None else (minutes,) * WEEKS,
    )
    demand = [Demand(crop=one.slug, week=week, heads=20, priority=1) for one in crops for week in range(first, WEEKS)]
    return Problem(today=MONDAY, weeks=WEEKS, crops=crops, room=room, **({"demand": tuple(demand)} | more))


def test_wishes_that_are_met_need_no_reason():
    problem = farm()
    found = reasons(problem, plan(problem))
    assert (found.late, found.tight, found.helps, found.crop_less) == ((), 0, (), None)


def test_what_comes_before_the_first_sowing_is_ready_is_too_late_with_the_days():
    problem = farm(first=4)
    (late,) = reasons(problem, plan(problem)).late
    assert late.heads == pytest.approx(40)
    assert late.ready == MONDAY + timedelta(days=42)
    assert late.sow_by == MONDAY + timedelta(weeks=4, days=-42)


def test_so_many_more_sites_as_it_says_meet_every_wish_and_one_tower_less_does_not():
    problem = farm(sites=60.0)
    found = reasons(problem, plan(problem))
    (help,) = [one for one in found.helps if one.what == "tower"]
    assert help.amount == 20
    room = replace(problem.room, tower_sites=(60.0 + help.amount,) * WEEKS)
    assert plan(replace(problem, room=room)).missing < 0.5
    room = replace(problem.room, tower_sites=(60.0 + help.amount - 8,) * WEEKS)
    assert plan(replace(problem, room=room)).missing > 8


def test_want_of_work_is_mended_by_minutes_and_not_by_towers():
    busy = replace(LETTUCE, sow_minutes=1.0, move_minutes=1.0, cut_minutes=2.0)
    problem = farm(minutes=70.0, crops=(busy,))
    found = reasons(problem, plan(problem))
    (help,) = found.helps
    assert help.what == "minutes"
    room = replace(problem.room, minutes=(70.0 + help.amount,) * WEEKS)
    assert plan(replace(problem, room=room)).missing < 0.1 * found.tight + 0.5


def test_a_crop_less_gives_the_others_their_room():
    problem = farm(sites=80.0, crops=(LETTUCE, OAK))
    found = reasons(problem, plan(problem))
    assert found.crop_less is not None
    rest = tuple(one for one in problem.demand if one.crop != found.crop_less.crop)
    assert plan(replace(problem, demand=rest)).missing < 0.5


def test_the_next_short_wish_is_the_earliest():
    problem = farm(first=3)
    short = next_short(plan(problem))
    assert (short.demand.week, round(short.heads)) == (3, 20)


def test_nobody_is_told_that_what_was_wanted_to_spare_is_missing():
    spare = (Demand(crop="lettuce", week=1, heads=20, priority=TO_SPARE),)
    made = plan(farm(demand=spare))
    assert made.short
    assert next_short(made) is None
    assert made.missing == 0
