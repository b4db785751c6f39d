"""Rates learnt from counts: shares, levels, and the season."""

from datetime import date, timedelta
from math import cos, tau

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.crops import profile
from core.planning.growth import Counts, learn, published
from core.planning.rates import Level, Share, learn_level, learn_share, level, share
from core.planning.season import NONE, learn_season

BATCHES = st.lists(st.integers(1, 60).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of))), max_size=20)


def test_a_share_begins_at_the_published_figure():
    assert share("germination", 0.8).mean == pytest.approx(0.8)


@given(BATCHES)
def test_a_learnt_share_lies_between_what_was_published_and_what_was_counted(counts):
    before = share("germination", 0.7)
    after = learn_share(before, counts)
    seen = [up / of for up, of in counts] or [before.mean]
    assert min(before.mean, *seen) - 1e-9 <= after.mean <= max(before.mean, *seen) + 1e-9


@given(BATCHES, st.randoms())
def test_the_order_in_which_batches_are_counted_does_not_matter(counts, random):
    shuffled = random.sample(counts, len(counts))
    before = share("shelves", 0.9)
    assert learn_share(before, counts).mean == pytest.approx(learn_share(before, shuffled).mean)


def test_one_large_batch_tells_less_than_as_many_plants_of_several():
    before = share("germination", 0.5)
    one, several = learn_share(before, [(200, 200)]), learn_share(before, [(20, 20)] * 10)
    assert before.sd > one.sd > several.sd


def test_much_counting_outweighs_what_was_published():
    after = learn_share(share("germination", 0.6), [(38, 40)] * 60)
    assert after.mean == pytest.approx(0.95, abs=0.015)


def test_days_are_learnt_with_their_spread():
    rng = np.random.default_rng(1)
    days = [[one] for one in rng.normal(31, 4, 400)]
    after = learn_level(level("tower_days", 28, 1.5), days)
    assert after.mean == pytest.approx(31, abs=0.6)
    assert after.spread == pytest.approx(4, abs=0.4)


def test_towers_of_one_batch_tell_less_than_those_of_several():
    before = Level(28, 3, 4, 10)
    assert learn_level(before, [[30] * 10], alike=0.5).weight < learn_level(before, [[30]] * 10, alike=0.5).weight


def test_no_counts_leave_everything_as_published():
    before = published(profile("kale"))
    assert learn(before, Counts()) == before


def yearly(swing, years, seed=3, spread=2.0):
    """Counts each week for some years, with a wave."""
    rng, start = np.random.default_rng(seed), date(2024, 1, 1)
    days = [start + timedelta(weeks=week) for week in range(52 * years)]
    values = [28 + swing * cos(tau * one.timetuple().tm_yday / 365.25) + rng.normal(0, spread) for one in days]
    return days, values


def test_a_clear_season_is_learnt():
    season = learn_season(*yearly(3.0, years=2), spread=2.0)
    assert season.on(date(2026, 1, 1)) == pytest.approx(3.0, abs=0.7)
    assert season.on(date(2026, 7, 2)) == pytest.approx(-3.0, abs=0.7)


@pytest.mark.parametrize("seed", range(20))
def test_chance_is_not_taken_for_a_season(seed):
    assert learn_season(*yearly(0.0, years=1, seed=seed), spread=2.0) == NONE


def test_a_few_counts_are_never_a_season():
    days, values = yearly(5.0, years=1)
    assert learn_season(days[:20], values[:20], spread=2.0) == NONE


def test_a_season_is_shrunk_towards_none():
    days, values = yearly(3.0, years=1)
    season = learn_season(days, values, spread=2.0)
    plain = 2 * np.mean(
        [(v - np.mean(values)) * cos(tau * d.timetuple().tm_yday / 365.25) for d, v in zip(days, values, strict=True)]
    )
    assert 0 < season.cosine < plain


def test_what_was_learnt_reaches_the_plan():
    from core.planning.growth import as_planned
    from core.planning.model import Crop

    growth = learn(published(profile("kale")), Counts(germination=[(38, 40)] * 50, nursery_days=[20.0] * 50))
    crop = as_planned(Crop(slug="kale", cover_days=3, shelf_days=14, tower_days=28, cuts=5), growth)
    assert crop.up == pytest.approx(0.95, abs=0.02)
    assert crop.cover_days + crop.shelf_days == 20


def test_a_certain_share_has_no_doubt_left():
    assert Share(1e9, 1e9).sd < 1e-4
