"""Seasons played day by day: nothing appears or vanishes, luck is shared, and the mean is what it should be."""

from dataclasses import replace
from statistics import fmean

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.planning.simulator import (
    POLICIES,
    House,
    Luck,
    Nature,
    as_believed,
    play,
    rule_of_thumb,
    score,
    summary,
)
from tests.core.planning.small_farm import GROWTHS, TARGETS, game, possible

BELIEVED = {crop: as_believed(growth) for crop, growth in GROWTHS.items()}


def house(seed=1, natures=BELIEVED, **changes):
    return House(game(**changes), Luck(seed, natures))


@given(
    seed=st.integers(0, 10_000),
    plugs=st.lists(st.integers(0, 120), min_size=4, max_size=4),
    towers=st.integers(1, 60),
    shelf_cells=st.integers(0, 400),
    cover_cells=st.integers(0, 300),
    closed=st.sets(st.integers(0, 20), max_size=6),
    days=st.integers(0, 140),
)
@settings(max_examples=60, deadline=None)
def test_plants_in_are_picked_lost_or_standing(seed, plugs, towers, shelf_cells, cover_cells, closed, days):
    played = house(
        seed, possible(seed), towers=towers, shelf_cells=shelf_cells, cover_cells=cover_cells, closed=frozenset(closed)
    )
    record = played.play(lambda _: dict(zip(TARGETS, plugs, strict=True)), until=days)
    for crop in TARGETS:
        assert record.sown[crop] == record.picked_out[crop] + record.lost[crop] + played.plants(crop)


@given(seed=st.integers(0, 1000), towers=st.integers(1, 40), shelf_cells=st.integers(0, 200))
@settings(max_examples=25, deadline=None)
def test_there_is_never_more_than_there_is_room_for(seed, towers, shelf_cells):
    played = house(seed, towers=towers, shelf_cells=shelf_cells, cover_cells=100)
    for day in range(0, 140, 3):
        played.play(lambda _: dict.fromkeys(TARGETS, 60), until=day)
        assert len(played.towers) + played.dirty <= towers
        assert sum(one.plants for one in played.nursery if not one.covered) <= shelf_cells
        assert sum(one.plants for one in played.nursery if one.covered) <= 100


@given(seed=st.integers(0, 1000))
@settings(max_examples=10, deadline=None)
def test_what_was_cut_was_given_wasted_or_is_kept(seed):
    played = house(seed)
    record = played.play(rule_of_thumb(GROWTHS))
    kept = sum(heads for cuts in played.kept.values() for _, heads in cuts)
    given = sum(map(sum, record.met.values()))
    assert sum(map(sum, record.ripe.values())) == pytest.approx(given + sum(record.wasted) + kept)


def test_nobody_cuts_in_a_closed_week():
    closed = frozenset({20, 21})
    record = house(closed=closed).play(rule_of_thumb(GROWTHS))
    assert [sum(record.ripe[crop][week] for crop in TARGETS) for week in sorted(closed)] == [0, 0]
    assert [record.minutes[week] for week in sorted(closed)] == [0, 0]


def test_the_same_seed_plays_the_same_season():
    first, second = (play(game(), BELIEVED, GROWTHS, "rule of thumb", 7) for _ in range(2))
    assert replace(first, seconds=0) == replace(second, seconds=0)


@given(st.integers(0, 500), st.integers(1, 200), st.integers(1, 200))
@settings(max_examples=30, deadline=None)
def test_the_first_plugs_of_a_batch_fare_alike_however_many_are_sown(seed, few, more):
    """Else policies that sow differently could not be compared under the same luck."""
    luck = Luck(seed, BELIEVED).of("kale", 3)
    assert 0 <= luck.come_up(few + more) - luck.come_up(few) <= more
    again = Luck(seed, BELIEVED).of("kale", 3)
    assert again.come_up(few) == luck.come_up(few)


SURE = {"germination": 1.0, "shelves": 1.0, "towers": 1.0, "regrown": 1.0}


def test_with_no_luck_at_all_everything_comes_on_its_day():
    nature = Nature(crop="butterhead", cover_days=2, cuts=1, nursery_days=(14, 0), tower_days=(28, 0), **SURE)
    played = house(natures={"butterhead": nature}, targets={"butterhead": 40.0}, weekdays=tuple(range(7)))
    record = played.play(lambda _: {"butterhead": 40})
    assert record.ripe["butterhead"][:6] == [0] * 6
    assert set(record.ripe["butterhead"][6:]) == {40}
    assert set(record.met["butterhead"][6:]) == {40}


def test_what_is_cut_agrees_with_the_closed_form():
    """Heads a week are plugs a week times what comes up and lives; a herb gives them at every cut."""
    plugs, seasons = {"butterhead": 50, "pak_choi": 30, "kale": 12, "cilantro": 20}, 12
    records = [house(seed, weeks=60).play(lambda _: plugs) for seed in range(seasons)]
    for crop, nature in BELIEVED.items():
        cut = fmean(fmean(one.ripe[crop][30:]) for one in records)
        alive = nature.germination * nature.shelves * nature.towers
        expected = plugs[crop] * alive * sum(nature.regrown**cut for cut in range(nature.cuts))
        assert cut == pytest.approx(expected, rel=0.05)


@pytest.mark.parametrize("name", POLICIES)
def test_every_way_of_sowing_plays_a_season(name):
    one = play(game(weeks=8), BELIEVED, GROWTHS, name, 1)
    assert 0.5 < one.given <= 1
    assert 0 < one.occupied <= 1
    assert len(one.by_week) == 8


@pytest.fixture(scope="module")
def compared():
    """Two short seasons under each way of sowing, the same luck for all."""
    return {name: [play(game(weeks=26), possible(seed), GROWTHS, name, seed) for seed in range(2)] for name in POLICIES}


def mean(scores, figure):
    return fmean(getattr(one, figure) for one in scores)


def test_the_plan_meets_at_least_as_many_targets_as_the_rule_of_thumb(compared):
    assert mean(compared["plan"], "targets_met") >= mean(compared["rule of thumb"], "targets_met")


def test_knowing_the_luck_gives_most_and_wastes_less_than_the_plan(compared):
    known, planned = compared["foresight"], compared["plan"]
    assert mean(known, "given") > max(mean(planned, "given"), mean(compared["rule of thumb"], "given"))
    assert mean(known, "wasted") < mean(planned, "wasted")


def test_a_year_of_days_takes_little_beside_the_planning(compared):
    """A ratio within one run: playing is lists and loops, planning is optimising."""
    assert mean(compared["rule of thumb"], "planning") == 0
    assert mean(compared["rule of thumb"], "seconds") < mean(compared["plan"], "seconds")


def test_seasons_are_drawn_together_with_their_spread():
    scores = [play(game(weeks=10), BELIEVED, GROWTHS, "rule of thumb", seed) for seed in range(3)]
    mean, spread = summary("rule of thumb", scores).figures["occupied"]
    assert mean == pytest.approx(fmean(one.occupied for one in scores))
    assert spread > 0
    assert summary("rule of thumb", scores[:1]).figures["occupied"][1] is None


def test_weeks_before_the_farm_is_full_do_not_count():
    record = house(warm_up=10, weeks=10).play(rule_of_thumb(GROWTHS))
    late = {crop: [0.0] * 10 + weeks[10:] for crop, weeks in record.met.items()}
    assert score(game(warm_up=10, weeks=10), replace(record, met=late)).given == pytest.approx(
        score(game(warm_up=10, weeks=10), record).given
    )
