"""What falls due on a day, in which order and how much of it, and what becomes of tasks left open."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.crops import profiles
from core.sizing import sizes
from core.tasks import Planted, State, Work, for_minors, half_trays, in_order, plan, plugs_a_week

DAY = date(2026, 5, 4)
NOTHING = State(
    calendars=profiles(),
    planted=(),
    free=(),
    dirty=(),
    shelf_room={},
    to_sow={},
    unread=(),
    uncalibrated=(),
    sites_per_tower=8,
    tray_cells=72,
)


def towers(crop, *codes, days=100, **more):
    """Plants that have stood in towers for so many days."""
    return [Planted(crop, code, "tower", 8, DAY - timedelta(days=days), **more) for code in codes]


def due(**state):
    return plan(replace(NOTHING, **state), DAY).new


def kinds(works):
    return [work.what for work in works]


def of(what, works):
    return [work for work in works if work.what == what]


def test_a_farm_on_which_nothing_is_due_has_no_tasks():
    assert due(planted=towers("butterhead", "A1", days=3)) == ()


def test_towers_that_are_ready_are_cut_in_one_task_a_crop():
    found = of("harvest", due(planted=[*towers("romaine", "B2", "B1", "B10"), *towers("kale", "D1")]))
    assert {(work.crop, work.places) for work in found} == {("romaine", ("B1", "B2", "B10")), ("kale", ("D1",))}


def test_whole_heads_are_ready_on_the_day_their_tower_days_are_over_and_not_before():
    days = profiles()["butterhead"].tower_days
    assert kinds(due(planted=towers("butterhead", "A1", days=days))) == ["harvest", "clean"]
    assert due(planted=towers("butterhead", "A1", days=days - 1)) == ()


@pytest.mark.parametrize(("days_ago", "what"), [(24, ["harvest"]), (23, [])])
def test_a_herb_is_due_again_after_its_regrowth_days(days_ago, what):
    mint = towers("mint", "F1", cuts=1, last_cut=DAY - timedelta(days=days_ago))
    assert kinds(due(planted=mint)) == what


def test_the_longest_overdue_crop_comes_first():
    found = due(planted=[*towers("butterhead", "A1", days=40), *towers("romaine", "B1", days=80)])
    assert [work.crop for work in of("harvest", found)] == ["romaine", "butterhead"]


def test_a_long_row_is_shared_out_in_even_runs_no_longer_than_one_goes_at_once():
    codes = [f"A{n}" for n in range(1, 9)]
    assert [work.places for work in of("harvest", due(planted=towers("butterhead", *codes)))] == [
        ("A1", "A2", "A3", "A4"),
        ("A5", "A6", "A7", "A8"),
    ]


def test_what_is_cut_is_cut_before_towers_are_cleaned_and_they_before_they_are_planted():
    seedlings = Planted("romaine", "shelf1", "shelf", 16, DAY - timedelta(days=20))
    found = due(
        planted=[*towers("kale", "D1"), seedlings],
        free=["A2", "A1"],
        dirty=["C1"],
        to_sow={"mint": 30},
        unread=["main"],
        uncalibrated=["main"],
    )
    assert kinds(found) == ["calibrate", "check", "harvest", "clean", "move", "sow"]


def test_what_is_cut_for_the_last_time_is_cleaned_after_it_on_the_same_day_and_planted_after_that():
    seedlings = Planted("oakleaf", "shelf1", "shelf", 16, DAY - timedelta(days=20))
    found = due(planted=[*towers("butterhead", "A1", "A2"), seedlings])
    assert [(work.what, work.places) for work in found] == [
        ("harvest", ("A1", "A2")),
        ("clean", ("A1", "A2")),
        ("move", ("A1", "A2")),
    ]


def test_plants_that_gave_all_their_cuts_are_pulled_out_and_their_tower_is_cleaned():
    old = towers("kale", "D1", cuts=profiles()["kale"].cuts, last_cut=DAY - timedelta(days=2))
    assert [(work.what, work.crop, work.places) for work in due(planted=old)] == [
        ("clear", "kale", ("D1",)),
        ("clean", None, ("D1",)),
    ]


def test_tanks_that_are_low_trays_just_sown_and_upkeep_are_on_the_list():
    found = due(low=["main"], to_water=["dome"], upkeep=["floor", "filter"])
    assert [(work.what, work.places) for work in found] == [
        ("topup", ("main",)),
        ("water", ("dome",)),
        ("upkeep", ("floor",)),
        ("upkeep", ("filter",)),
    ]


def test_work_at_tanks_pumps_and_filters_is_for_adults_the_floor_is_not():
    found = due(low=["main"], upkeep=["floor", "filter"])
    assert [work.places for work in for_minors(found)] == [("floor",)]


def test_work_takes_as_long_as_the_farm_s_own_times_say():
    planted = towers("romaine", "B1", "B2", "B3", "B4")
    assert of("harvest", due(planted=planted))[0].minutes == 25
    assert of("harvest", due(planted=planted, minutes={"harvest": 14.0}))[0].minutes == 60


def test_long_work_is_for_two():
    planted = towers("romaine", "B1", "B2", "B3", "B4")
    assert of("harvest", due(planted=planted))[0].people == 1
    assert of("harvest", due(planted=planted, minutes={"harvest": 14.0}))[0].people == 2


ORDER = ("harvest", "clear", "clean", "move")
some = st.sets(st.integers(1, 24))


@given(some, some, some, some, st.integers(0, 60))
def test_of_one_tower_cutting_comes_before_clearing_cleaning_and_planting(ripe, old, dirty, free, seedlings):
    """A partial order: whatever else is on the list, each tower is cut, cleared, cleaned and planted in that order."""
    shelf = [Planted("oakleaf", "shelf1", "shelf", seedlings, DAY - timedelta(days=30))] if seedlings else []
    state = replace(
        NOTHING,
        planted=[
            *towers("romaine", *(f"B{n}" for n in ripe)),
            *towers("kale", *(f"D{n}" for n in old), cuts=5, last_cut=DAY),
            *shelf,
        ],
        dirty=[f"A{n}" for n in dirty],
        free=[f"C{n}" for n in free],
    )
    first = plan(state, DAY).new
    listed = in_order(replace(work, id=n) for n, work in enumerate(reversed(first), 1))
    for place in {place for work in listed for place in work.places}:
        steps = [ORDER.index(work.what) for work in listed if place in work.places]
        assert steps == sorted(set(steps)), place
        planted = place[0] in "BD"
        assert not planted or steps[0] <= ORDER.index("clear"), f"{place} is cleaned or planted before it is emptied"
        assert place[0] != "A" or steps[0] == ORDER.index("clean"), f"{place} is planted before it is cleaned"


def test_seedlings_get_as_many_clean_towers_as_they_fill_the_first_ones_first():
    seedlings = Planted("romaine", "shelf1", "shelf", 17, DAY - timedelta(days=20))
    (work,) = due(planted=[seedlings], free=["A10", "A2", "A3", "A1"])
    assert (work.what, work.places) == ("move", ("A1", "A2", "A3"))


def test_two_crops_never_get_the_same_tower():
    shelf = [Planted(crop, "shelf1", "shelf", 40, DAY - timedelta(days=30)) for crop in ("romaine", "oakleaf")]
    given_out = [place for work in due(planted=shelf, free=[f"A{n}" for n in range(1, 8)]) for place in work.places]
    assert sorted(given_out) == sorted(set(given_out))


def test_trays_leave_the_cover_for_the_shelf_with_most_room():
    covered = Planted("kale", "dome", "cover", 36, DAY - timedelta(days=30))
    (work,) = due(planted=[covered], shelf_room={"shelf1": 10, "shelf2": 200})
    assert (work.what, work.crop, work.places, work.trays) == ("uncover", "kale", ("shelf2",), 0.5)


def test_a_day_takes_only_so_many_tasks_of_a_kind():
    codes = [f"{row}{n}" for row in "AB" for n in range(1, 25)]
    assert kinds(of("harvest", due(planted=towers("butterhead", *codes)))) == ["harvest"] * sizes()["harvest"].most


def test_sowing_is_in_half_trays_rounded_up():
    assert [half_trays(plugs, 72) for plugs in (1, 36, 37, 72, 100)] == [0.5, 0.5, 1.0, 1.0, 1.5]


def test_a_crop_that_is_cut_often_needs_fewer_plugs():
    assert plugs_a_week(30, 1.0, cuts=3) == 11
    assert plugs_a_week(30, 0.75, cuts=1) == 44


def test_a_minor_is_never_given_work_at_the_tanks():
    found = due(planted=towers("kale", "D1"), unread=["main"], uncalibrated=["main"])
    assert kinds(for_minors(found)) == ["harvest"]


def test_an_open_task_is_carried_over_and_not_listed_twice():
    left = Work("harvest", 10, "romaine", ("B1", "B2"), id=7)
    state = replace(NOTHING, planted=towers("romaine", "B1", "B2", "B3"))
    found = plan(state, DAY, [left])
    assert [(work.id, work.places) for work in found.kept] == [(7, ("B1", "B2"))]
    assert [work.places for work in of("harvest", found.new)] == [("B3",)]
    assert found.gone == ()


def test_an_open_task_shrinks_to_what_is_left_of_it():
    left = Work("clean", 30, None, ("C1", "C2", "C3"), id=7)
    (kept,) = plan(replace(NOTHING, dirty=["C3"]), DAY, [left]).kept
    assert (kept.places, kept.minutes) == (("C3",), 5)


def test_an_open_task_that_was_seen_to_otherwise_is_gone():
    left = Work("harvest", 10, "romaine", ("B1",), id=7)
    found = plan(NOTHING, DAY, [left])
    assert (found.gone, found.kept, found.new) == ((left,), (), ())


def test_towers_promised_to_an_open_task_are_not_given_out_again():
    shelf = [Planted("romaine", "shelf1", "shelf", 16, DAY - timedelta(days=30))]
    state = replace(NOTHING, planted=shelf, free=["A1", "A2", "A3", "A4"])
    found = plan(state, DAY, [Work("move", 10, "romaine", ("A1", "A2"), id=7)])
    assert [work.id for work in found.kept] == [7]
    assert found.new == ()


@given(st.sets(st.integers(1, 24)), st.sets(st.integers(1, 24)))
def test_every_tower_due_is_in_just_one_task(ripe, dirty):
    """Up to what a day takes: no tower is promised twice, and none that is not due is listed."""
    state = replace(NOTHING, planted=towers("kale", *(f"D{n}" for n in ripe)), dirty=[f"A{n}" for n in dirty])
    first = plan(state, DAY)
    again = plan(state, DAY, [replace(work, id=n) for n, work in enumerate(first.new, 1)])
    places = [place for work in first.new for place in work.places]
    assert len(places) == len(set(places))
    assert set(places) <= {*(f"D{n}" for n in ripe), *(f"A{n}" for n in dirty)}
    assert {work.places for work in again.kept} == {work.places for work in first.new}


def test_tasks_keep_their_order_whatever_their_numbers():
    works = [Work("sow", id=1), Work("harvest", id=9), Work("harvest", id=3)]
    assert [work.id for work in in_order(works)] == [3, 9, 1]


def test_a_raft_takes_as_many_seedlings_as_it_has_sites():
    seedlings = Planted("romaine", "shelf1", "shelf", 48, DAY - timedelta(days=20))
    (work,) = due(planted=[seedlings], free=["R1", "R2", "R3"], sites={"R1": 40, "R2": 40, "R3": 40})
    assert work.places == ("R1", "R2")
