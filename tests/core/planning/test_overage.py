"""Plugs to sow so that enough come up."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.planning.overage import chance_of_enough, plugs_for
from core.planning.rates import Share

SHARES = st.floats(0.05, 0.98)


@given(plants=st.integers(0, 150), keep=SHARES, sure=st.floats(0.05, 0.99))
@settings(max_examples=60, deadline=None)
def test_so_many_are_enough_and_one_fewer_is_not(plants, keep, sure):
    plugs = plugs_for(plants, keep, sure)
    assert chance_of_enough(plants, plugs, keep) >= sure
    assert plugs == 0 or chance_of_enough(plants, plugs - 1, keep) < sure


@given(plants=st.integers(1, 80), keep=SHARES)
@settings(max_examples=40, deadline=None)
def test_to_be_surer_more_are_sown(plants, keep):
    assert plugs_for(plants, keep, 0.5) <= plugs_for(plants, keep, 0.8) <= plugs_for(plants, keep, 0.95)


def test_who_is_unsure_of_the_seed_sows_more():
    assert plugs_for(30, Share(8.5, 1.5), 0.9) > plugs_for(30, 0.85, 0.9)


@pytest.mark.parametrize(("keep", "sure"), [(0, 0.5), (1, 0.5), (0.8, 0), (0.8, 1), (-0.1, 0.5)])
def test_a_share_that_is_none_is_refused(keep, sure):
    with pytest.raises(ValueError, match="between 0 and 1"):
        plugs_for(30, keep, sure)


def test_seed_that_hardly_comes_up_is_refused_and_not_searched_for_ever():
    with pytest.raises(ValueError, match="cannot be had"):
        plugs_for(1000, 0.001, 0.9)
