"""A tank brought to a wanted EC: up, down, filled; and the days a bottle lasts."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.dosing.tank import Feed, days_left, lower_ec, raise_ec, top_up
from core.errors import OutOfRange

FEED = Feed(5, 5, 1.6)
VOLUMES = st.floats(20, 1000)
NOW = datetime(2026, 5, 4, 14, tzinfo=UTC)


def ec_together(*parts):
    """EC of (litres, mS/cm) poured together, by volume."""
    return sum(litres * ec for litres, ec in parts) / sum(litres for litres, _ in parts)


@given(VOLUMES, st.floats(0, 1.5), st.floats(0, 1.5))
def test_what_is_put_in_brings_the_tank_to_the_ec_wanted(volume, now, more):
    found = raise_ec(volume, now, now + more, FEED)
    nutrients = (found.a_ml + found.b_ml) / 1000
    assert ec_together((volume, now), (nutrients, FEED.own_ms_cm)) == pytest.approx(now + more)
    assert found.volume_l == pytest.approx(volume + nutrients)


@given(VOLUMES, st.floats(0.1, 1), st.floats(1.2, 4), st.floats(0, 0.4))
def test_water_brings_the_tank_down_and_it_never_runs_over(capacity, share, now, water):
    volume, want = capacity * share, 1.0
    found = lower_ec(volume, capacity, now, want, water)
    assert ec_together((volume - found.drain_l, now), (found.water_l, water)) == pytest.approx(want)
    assert found.volume_l <= capacity * (1 + 1e-9)
    assert (found.drain_l > 0) == (volume * (now - want) / (want - water) + volume > capacity)


@given(VOLUMES, st.floats(0, 1), st.floats(0.3, 2), st.floats(0.5, 3), st.floats(0, 0.4))
def test_a_filling_comes_to_what_it_says(capacity, share, now, want, water):
    volume = capacity * share
    found = top_up(volume, capacity, now, want, FEED, water)
    nutrients = (found.a_ml + found.b_ml) / 1000
    assert volume + found.water_l + nutrients == pytest.approx(capacity)
    together = ec_together((volume, now), (found.water_l, water), (nutrients, FEED.own_ms_cm))
    assert found.ec_ms_cm == pytest.approx(together)
    if 0 < nutrients < (capacity - volume) * 0.999:
        assert found.ec_ms_cm == pytest.approx(want)


@given(VOLUMES, st.floats(0.5, 1.5), st.floats(0.1, 1.0))
def test_raising_and_then_lowering_returns(volume, now, more):
    up = raise_ec(volume, now, now + more, FEED)
    down = lower_ec(up.volume_l, up.volume_l * 10, now + more, now, 0.0)
    assert ec_together((up.volume_l, now + more), (down.water_l, 0.0)) == pytest.approx(now)


def test_the_strength_of_the_label_is_reproduced():
    """5 mL of A and of B in each litre of water raise it by 1.6: a 100 L tank from 0 to 1.6 takes 500 mL of each."""
    found = raise_ec(100, 0.0, 1.6, FEED)
    assert found.a_ml == pytest.approx(500)
    assert found.b_ml == pytest.approx(500)


def test_uneven_nutrients_keep_their_shares():
    found = raise_ec(100, 1.0, 1.5, Feed(2, 6, 1.6))
    assert found.b_ml == pytest.approx(3 * found.a_ml)


def test_a_tank_above_the_ec_wanted_is_filled_with_water_alone():
    found = top_up(300, 420, 2.6, 1.2, FEED, 0.2)
    assert found.a_ml == found.b_ml == 0
    assert found.ec_ms_cm == pytest.approx((300 * 2.6 + 120 * 0.2) / 420)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: raise_ec(100, 1.6, 1.1, FEED),
        lambda: raise_ec(0, 1.1, 1.6, FEED),
        lambda: raise_ec(100, 1.1, 400, FEED),
        lambda: lower_ec(100, 420, 1.1, 1.6),
        lambda: lower_ec(100, 420, 2.0, 0.3, water=0.3),
        lambda: lower_ec(500, 420, 2.0, 1.6),
        lambda: top_up(500, 420, 1.1, 1.6, FEED),
        lambda: top_up(100, 420, 1.1, 0.1, FEED, 0.3),
        lambda: Feed(0, 0, 1.6),
        lambda: Feed(5, 5, 0),
    ],
)
def test_what_cannot_be_done_is_refused(wrong):
    with pytest.raises(OutOfRange):
        wrong()


def test_a_bottle_lasts_as_long_as_it_is_used():
    used = [(NOW - timedelta(days=10), 500.0), (NOW - timedelta(days=3), 500.0)]
    assert days_left(2000, used, NOW) == pytest.approx(20)


def test_an_empty_bottle_lasts_no_day_and_one_nobody_used_any_number():
    assert days_left(0, [], NOW) == 0
    assert days_left(500, [], NOW) is None
    assert days_left(500, [(NOW - timedelta(days=1), 100)], NOW) is None
