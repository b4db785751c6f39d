"""The invented crowd, and a month of it: one luck for every way of running it, every place accounted for."""

from datetime import timedelta
from statistics import fmean

import pytest

from core.shifts.roster import roster
from core.shifts.rules import faults
from tests.crowd import crews, crowd, luck, supposed
from tests.month.by_phone import ByPhone
from tests.month.by_text import TEXTS_A_WEEK, ByText
from tests.month.play import WAYS, month
from tests.month.tally import Tally, gini
from tests.month.world import World, within

# The crowd


def test_what_is_supposed_is_marked_as_invented():
    assert supposed()["invented"] is True


@pytest.mark.parametrize("size", [10, 60, 5000])
def test_a_crowd_has_as_many_people_as_asked_for_with_habits_within_bounds(size):
    people, habits = crowd(size, seed=3), supposed()["habits"]
    assert [one.id for one in people] == list(range(1, size + 1))
    for name in ("answers", "picks_up", "willing", "gives_up", "no_show", "answer_min"):
        low, high = habits[name]
        assert all(low <= getattr(one, name) <= high for one in people)


def test_a_seed_gives_one_crowd_and_another_seed_another():
    assert crowd(50, seed=3) == crowd(50, seed=3) == crowd(500, seed=3)[:50]
    assert crowd(50, seed=3) != crowd(50, seed=4)


def test_ages_and_trainings_come_in_the_shares_supposed():
    people, shares = crowd(5000, seed=1), supposed()["people"]
    assert fmean(one.minor for one in people) == pytest.approx(shares["minors"], abs=0.02)
    assert fmean(one.age == "retired" for one in people) == pytest.approx(shares["retired"], abs=0.02)
    grown_up = [one for one in people if not one.minor]
    assert fmean("acids" in one.skills for one in grown_up) == pytest.approx(shares["skills"]["acids"], abs=0.03)


def test_no_minor_is_trained_for_more_than_food_or_free_in_school_hours():
    regular = supposed()["farm"]["shifts"]
    for one in (one for one in crowd(500, seed=2) if one.minor):
        assert one.skills <= {"food"}
        assert not [number for number in one.free if regular[number]["kind"] == "morning"]


@pytest.mark.parametrize(("size", "count"), [(10, 1), (60, 1), (61, 2), (5000, 84)])
def test_a_large_crowd_is_split_into_crews_and_nobody_is_lost(size, count):
    people = crowd(size, seed=1)
    found = list(crews(people))
    assert len(found) == count
    assert tuple(one for crew in found for one in crew) == people


def test_luck_hangs_on_what_it_is_about_and_not_on_when_it_is_asked_for():
    first = luck(7, "busy", 1, "0.2").random()
    luck(7, "busy", 2, "0.2").random()
    assert luck(7, "busy", 1, "0.2").random() == first != luck(8, "busy", 1, "0.2").random()


# The month


def test_every_place_is_come_to_or_accounted_for():
    for way in WAYS:
        n = month(crowd(40, seed=5), way, seed=5).counts
        assert n["places"] == n["came"] + n["no_shows"] + n["sent_home"] + n["open"]
        assert 0 < n["stepped_in"] <= n["given_up"]


def test_a_month_is_the_same_each_time_it_is_played():
    for way in WAYS:
        assert month(crowd(20, seed=5), way, seed=5, weeks=2) == month(crowd(20, seed=5), way, seed=5, weeks=2)


def test_both_ways_meet_the_same_people_on_the_same_days():
    """What each way knows beforehand differs; who can really come does not."""
    world = World(crowd(20, seed=5), seed=5)
    told, untold = world.problem(0, {}), world.problem(0, {}, told=False)
    for shift in world.shifts(0):
        really = {who.id for who in world.crew if world.can(who, shift)}
        assert really <= told.able[shift.id] <= untold.able[shift.id]


def test_hours_given_are_those_of_the_places_come_to():
    found = month(crowd(20, seed=5), "by text", seed=5, weeks=1)
    world = World(crowd(20, seed=5), seed=5)
    lengths = {one.minutes for one in world.shifts(0)}
    assert min(lengths) * found.counts["came"] <= sum(found.given_min.values()) <= max(lengths) * found.counts["came"]


def test_phoning_sends_no_texts_and_texting_makes_no_calls():
    people = crowd(30, seed=6)
    assert month(people, "phoning round", seed=6, weeks=1).counts["texts"] == 0
    assert month(people, "by text", seed=6, weeks=1).counts["calls"] == 0


def test_the_rosters_of_a_month_break_no_rule():
    world = World(crowd(60, seed=2), seed=2)
    problem = world.problem(0, {})
    assert faults(problem, roster(problem).places) == []


def test_a_month_by_text_is_fairer_and_asks_less_of_the_coordinator_than_phoning_down_a_list():
    """Over several crowds together; a single month may go either way by luck."""
    text, phone = ([month(crowd(30, seed), way, seed) for seed in range(1, 4)] for way in ("by text", "phoning round"))
    assert fmean(gini(list(one.share.values())) for one in text) < fmean(
        gini(list(one.share.values())) for one in phone
    )
    assert sum(one.counts["interventions"] for one in text) < sum(one.counts["interventions"] for one in phone)


def test_however_many_give_up_nobody_is_asked_more_than_three_times_a_week_or_at_night():
    world = World(crowd(30, seed=4), seed=4)
    way, problem = ByText(world, Tally()), world.problem(0, {})
    places = way.plan(0, problem)
    for place in sorted(places):
        way.stand_in(problem.without(place), places - {place}, place, world.planned_at(0) + timedelta(hours=3))
    asked = [one.at for ones in way.asked.values() for one in ones]
    assert len(asked) > len(places)
    assert max(map(len, way.asked.values())) == TEXTS_A_WEEK - 1  # the question of when they can come is one too
    assert all(8 <= one.hour < 20 for one in asked)


def test_who_gave_a_place_up_is_not_asked_to_step_in_there_again():
    for way in (ByText, ByPhone):
        world = World(crowd(30, seed=4), seed=4)
        one, problem = way(world, Tally()), world.problem(0, {})
        places = one.plan(0, problem)
        for place in sorted(places):
            at = world.planned_at(0) + timedelta(hours=1)
            assert one.stand_in(problem.without(place), places - {place}, place, at) not in {
                place[0],
                *_on(places, place),
            }


def _on(places, place):
    return {who for who, what in places if what == place[1]}


def test_a_moment_outside_the_hours_waits_for_the_next_within():
    noon = World(crowd(10, 1), 1).planned_at(0).replace(hour=12, minute=0)
    assert within(noon, "08:00", "20:00") == noon
    assert within(noon.replace(hour=5), "08:00", "20:00") == noon.replace(hour=8)
    assert within(noon.replace(hour=20), "08:00", "20:00").isoformat() == "2026-05-01T08:00:00+00:00"
