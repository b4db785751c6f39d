"""The range wanted: the strictest of the crops', which crop sets which end, and what is done where no value suits all."""

import math

from hypothesis import given
from hypothesis import strategies as st

from core.readings import Range, usual
from core.readings.ranges import Suits, by_crop, wanted_range

ENDS = st.tuples(st.floats(0, 14), st.floats(0, 14)).map(sorted)
CROPS = st.lists(st.tuples(ENDS, st.integers(1, 500)), min_size=1, max_size=8)


def suits(*crops):
    return [Suits(name, Range(low, high), plants) for name, low, high, plants in crops]


def test_each_end_is_the_strictest_crops_and_says_whose_it_is():
    found = wanted_range("ph", suits(("mint", 5.5, 6.5, 40), ("kale", 5.8, 7.0, 60)))
    assert (found.range, found.low_by, found.high_by, found.without) == (Range(5.8, 6.5), "kale", "mint", ())


def test_where_no_value_suits_all_that_of_most_plants_counts_and_the_others_are_named():
    crops = suits(("mint", 5.5, 6.0, 40), ("kale", 6.4, 7.0, 60), ("chard", 6.2, 6.8, 10))
    found = wanted_range("ph", crops)
    assert (found.range, found.without) == (Range(6.4, 6.8), ("mint",))


def test_what_the_farm_set_comes_first_and_may_be_open_on_a_side():
    crops = suits(("mint", 5.5, 6.5, 40))
    assert wanted_range("ph", crops, (5.0, 6.0)).range == Range(5.0, 6.0)
    assert wanted_range("ph", crops, (None, 6.0)).range == Range(-math.inf, 6.0)
    assert wanted_range("ph", crops, (5.0, 6.0)).origin == "own"


def test_where_nothing_grows_the_usual_range_counts():
    assert wanted_range("humidity", []).range == usual("humidity")
    assert by_crop("ph", {"mint": 4}, {"mint": {"ec": [1, 2]}}) == []


@given(CROPS)
def test_the_range_suits_every_crop_that_is_not_named_as_left_out(drawn):
    crops = [Suits(f"c{at}", Range(*ends), plants) for at, (ends, plants) in enumerate(drawn)]
    found = wanted_range("ph", crops)
    kept = [one for one in crops if one.crop not in found.without]
    assert all(found.range.low in one.range and found.range.high in one.range for one in kept)


@given(CROPS, st.floats(0, 14))
def test_no_value_suits_more_plants_than_the_range_does(drawn, value):
    crops = [Suits(f"c{at}", Range(*ends), plants) for at, (ends, plants) in enumerate(drawn)]
    found = wanted_range("ph", crops)
    kept = sum(one.plants for one in crops if one.crop not in found.without)
    assert kept >= sum(one.plants for one in crops if value in one.range)
