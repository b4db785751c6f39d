"""The sowing plan: exact days, room that is kept, wishes met where they can be, and little change for little reason."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.planning.changes import as_previous
from core.planning.courses import sown_course
from core.planning.formulation import weights
from core.planning.model import Crop, Demand, Problem, Room, Standing
from core.planning.sowing_plan import plan
from tests.core.planning.calendar_by_hand import ripe_by_week, room_taken
from tests.core.planning.random_farms import farm

MONDAY = date(2026, 5, 4)
LETTUCE = Crop(slug="lettuce", cover_days=2, shelf_days=12, tower_days=28, wait_weeks=0)


def lettuce_farm(weeks=10, sites=100.0, wanted=20.0, crop=LETTUCE, **more):
    room = Room(cover_cells=(500.0,) * weeks, shelf_cells=(500.0,) * weeks, tower_sites=(sites,) * weeks)
    demand = tuple(Demand(crop=crop.slug, week=week, heads=wanted, priority=1) for week in range(weeks))
    return Problem(today=MONDAY, weeks=weeks, crops=(crop,), room=room, **({"demand": demand} | more))


def test_a_head_is_cut_so_many_days_after_it_was_sown():
    made = plan(lettuce_farm())
    assert made.heads["lettuce"] == pytest.approx((0, 0, 0, 0, 0, 0, 20, 20, 20, 20))
    assert made.sow["lettuce"] == (20, 20, 20, 20, 0, 0, 0, 0, 0, 0)


def test_what_nothing_sown_now_can_reach_is_short_and_nothing_else():
    made = plan(lettuce_farm())
    assert [(one.demand.week, round(one.heads)) for one in made.short] == [(week, 20) for week in range(6)]


def test_seeds_that_do_not_come_up_and_plants_that_are_lost_are_sown_besides():
    made = plan(lettuce_farm(crop=replace(LETTUCE, up=0.8, shelf_keep=0.9, tower_keep=0.95)))
    assert made.sow["lettuce"][0] == 30  # 20 / (0.8 * 0.9 * 0.95) = 29.2
    assert made.heads["lettuce"][6] == pytest.approx(20)


def test_plugs_come_in_whole_steps_of_a_tray():
    made = plan(lettuce_farm(crop=replace(LETTUCE, tray_plugs=18)))
    assert made.sow["lettuce"][:4] == (36, 36, 36, 36)
    assert made.heads["lettuce"][6] == pytest.approx(20)


def test_the_towers_hold_four_weeks_of_lettuce_and_no_more():
    made = plan(lettuce_farm(weeks=14, sites=40.0))
    assert max(made.tower) <= 40 + 1e-6
    assert sum(made.heads["lettuce"][6:10]) == pytest.approx(40)


def test_heads_that_can_wait_fill_a_week_for_which_nothing_was_sown():
    waits = replace(LETTUCE, wait_weeks=1)
    made = plan(lettuce_farm(crop=waits, closed=frozenset({1})))
    assert made.sow["lettuce"][1] == 0
    assert made.heads["lettuce"][7] == pytest.approx(20)


def test_nothing_is_sown_or_cut_in_a_closed_week():
    made = plan(lettuce_farm(weeks=12, closed=frozenset({0, 7})))
    assert made.sow["lettuce"][0] == made.sow["lettuce"][7] == 0
    assert made.heads["lettuce"][7] == 0


def test_what_falls_due_in_a_closed_week_waits_for_the_next_open_one():
    course = sown_course(lettuce_farm(closed=frozenset({2})), LETTUCE, 0)
    assert (course.off_cover, course.in_towers, course.ready) == (2, 21, 49)


def test_sowing_in_the_week_that_has_begun_is_done_today():
    problem = replace(lettuce_farm(), today=MONDAY + timedelta(days=3))
    assert [sown_course(problem, LETTUCE, week).sown for week in (0, 1)] == [3, 7]


def test_a_herb_gives_its_cuts_one_after_the_other():
    herb = Crop(slug="basil", cover_days=3, shelf_days=11, tower_days=21, regrow_days=14, cuts=3, wait_weeks=0)
    wanted = tuple(Demand(crop="basil", week=week, heads=10, priority=1) for week in (5, 7, 9))
    made = plan(lettuce_farm(weeks=10, crop=herb, demand=wanted))
    assert made.sow["basil"] == (10, *(0,) * 9)
    assert [week for week, heads in enumerate(made.heads["basil"]) if heads > 0.1] == [5, 7, 9]


def test_what_stands_is_cut_on_its_day_before_anything_is_sown_for_it():
    stands = Standing(crop="lettuce", where="tower", plants=20, since=MONDAY - timedelta(days=20))
    made = plan(lettuce_farm(standing=(stands,)))
    assert made.heads["lettuce"][1] == pytest.approx(20)


def test_what_stands_and_has_no_room_is_given_up_and_told():
    stands = Standing(crop="lettuce", where="shelf", plants=30, since=MONDAY - timedelta(days=12))
    wanted = (Demand(crop="lettuce", week=4, heads=30, priority=1),)
    made = plan(lettuce_farm(sites=25.0, standing=(stands,), demand=wanted))
    assert [(one, round(plants)) for one, plants in made.no_room] == [(stands, 5)]


def test_the_most_wanted_is_met_first():
    demand = (
        Demand(crop="lettuce", week=6, heads=30, priority=2, recipient="school"),
        Demand(crop="lettuce", week=6, heads=30, priority=1, recipient="kitchen"),
    )
    made = plan(lettuce_farm(sites=40.0, demand=demand))
    assert [(one.demand.recipient, round(one.heads)) for one in made.short] == [("school", 20)]


def test_minutes_of_work_are_kept():
    busy = replace(LETTUCE, sow_minutes=1.0, move_minutes=1.0, cut_minutes=2.0)
    problem = lettuce_farm(weeks=14, crop=busy)
    made = plan(replace(problem, room=replace(problem.room, minutes=(50.0,) * 14)))
    assert max(made.minutes) <= 50 + 1e-6
    assert sum(made.heads["lettuce"][6:]) < sum(plan(problem).heads["lettuce"][6:])


@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 10_000), crops=st.integers(1, 5), weeks=st.integers(6, 16))
def test_a_plan_never_takes_more_than_there_is(seed, crops, weeks):
    problem = farm(seed, crops, weeks)
    made = plan(problem, 0.5)
    room = problem.room
    for taken, has in ((made.cover, room.cover_cells), (made.shelf, room.shelf_cells), (made.tower, room.tower_sites)):
        assert all(one <= most + 1e-5 for one, most in zip(taken, has, strict=True))
    assert all(one <= most + 1e-5 for one, most in zip(made.minutes, room.minutes, strict=True))
    assert made.bound <= made.cost * (1 + 1e-6)


@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 10_000), crops=st.integers(1, 5), weeks=st.integers(6, 16))
def test_what_is_cut_follows_from_what_was_sown_and_stood(seed, crops, weeks):
    """Reckoned a second time, batch by batch and day by day, without the programme: no more is cut than is ripe by then,
    and in closed weeks nothing.
    """
    problem = farm(seed, crops, weeks)
    made = plan(problem, 0.5)
    for crop in problem.crops:
        if crop.cuts == 1:
            ripe = ripe_by_week(problem, crop, made.sow[crop.slug])
            cut, most = 0.0, 0.0
            for week in range(weeks):
                cut, most = cut + made.heads[crop.slug][week], most + ripe[week]
                assert cut <= most + 1e-5
        assert all(made.heads[crop.slug][week] == made.sow[crop.slug][week] == 0 for week in problem.closed)


@settings(max_examples=10, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_no_day_is_fuller_than_the_plan_says(seed):
    """Whole heads that do not wait, all of them raised and kept: reckoned a second time, day by day."""
    problem = farm(seed, 3, 14, tight=2.0)
    crops = tuple(replace(one, up=1.0, shelf_keep=1.0, cuts=1, regrow_days=None, wait_weeks=0) for one in problem.crops)
    problem = replace(problem, crops=crops, standing=(), closed=frozenset())
    made = plan(problem, 0.5)
    if made.parts["spare"] < 1e-6:
        for where, said in (("cover", made.cover), ("shelf", made.shelf), ("tower", made.tower)):
            assert room_taken(problem, made.sow, where) == pytest.approx(said, abs=1e-4)


def cost_by_hand(problem, plugs):
    """The cost of sowing so many plugs of one crop that neither waits nor is lost; None where there is no room."""
    scale, (crop,) = weights(), problem.crops
    lag, stay = crop.seed_to_cut_days // 7, crop.tower_days // 7
    sown = [*plugs, *(0 for _ in range(problem.weeks - len(plugs)))]
    for week in range(problem.weeks):
        if sum(sown[max(0, week - lag + 1) : max(0, week - lag + 1 + stay)]) > problem.room.tower_sites[0]:
            return None
    wanted = [one.heads for one in sorted(problem.demand, key=lambda one: one.week)]
    cut = [sown[week - lag] if week >= lag else 0 for week in range(problem.weeks)]
    sooner = [1 + scale["sooner"] * (1 - week / problem.weeks) for week in range(problem.weeks)]
    return (
        sum(scale["short"][0] * sooner[at] * max(0, wanted[at] - cut[at]) for at in range(problem.weeks))
        + sum(scale["waste"] * max(0, cut[at] - wanted[at]) for at in range(problem.weeks))
        + scale["sown"] * sum(plugs)
        + scale["uneven"] * sum(abs(after - before) for before, after in pairwise(plugs))
    )


@pytest.mark.parametrize("sites", [4.0, 7.0, 50.0])
@pytest.mark.parametrize("wanted", [(1, 3, 0, 2), (3, 3, 3, 3), (0, 3, 1, 0)])
def test_no_other_plan_of_a_small_farm_is_cheaper(sites, wanted):
    """Every plan of up to three plugs a week, tried one by one."""
    demand = tuple(
        Demand(crop="lettuce", week=week, heads=heads, priority=1)
        for week, heads in enumerate((0, 0, 0, 0, 0, 0, *wanted))
    )
    problem = lettuce_farm(sites=sites, demand=demand)
    costs = [cost_by_hand(problem, plugs) for plugs in product(range(4), repeat=4)]
    assert plan(problem, 10, gap=0.0).cost == pytest.approx(min(one for one in costs if one is not None), abs=1e-6)


def test_two_plants_less_do_not_turn_the_plan_over():
    problem = farm(3, 8, 20)
    before = plan(problem)
    struck = problem.standing[0]
    rest = (replace(struck, plants=struck.plants - 2), *problem.standing[1:])
    after = plan(replace(problem, standing=rest, previous=as_previous(before)))
    moved = sum(abs(a - b) for crop in before.sow for a, b in zip(before.sow[crop], after.sow[crop], strict=True))
    assert moved <= 0.02 * sum(map(sum, before.sow.values()))


def test_a_plan_made_in_so_many_tries_is_the_same_each_time():
    problem = farm(5, 6, 16)
    first, second = plan(problem, tries=20), plan(problem, tries=20)
    assert first.sow == second.sow
    assert first.cost == second.cost


def test_a_farm_of_which_nothing_is_wanted_sows_nothing():
    made = plan(lettuce_farm(demand=()))
    assert (sum(made.sow["lettuce"]), made.cost, made.short) == (0, 0, ())
