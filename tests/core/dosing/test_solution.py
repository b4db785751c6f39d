"""Solutions: what goes in is what is there, in whatever order."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.dosing.materials import materials
from core.dosing.solution import Solution, lacking
from core.errors import OutOfRange

VOLUMES = st.floats(0.1, 1000)
PPM = st.dictionaries(st.sampled_from(["N_NO3", "K", "Ca", "P", "S"]), st.floats(0, 500), max_size=5)
POURED = st.lists(st.tuples(VOLUMES, PPM), min_size=1, max_size=6)
SALTS = st.lists(st.tuples(st.sampled_from(list(materials().values())), st.floats(0, 500)), max_size=6)


def poured(parts):
    total = Solution(0.0)
    for volume, ppm in parts:
        total += Solution.of(volume, ppm)
    return total


@given(POURED, st.randoms())
def test_what_is_poured_together_is_the_same_in_any_order(parts, chance):
    mixed = list(parts)
    chance.shuffle(mixed)
    one, other = poured(parts), poured(mixed)
    assert one.volume_l == pytest.approx(other.volume_l)
    assert one.mg == pytest.approx(other.mg)


@given(VOLUMES, SALTS, st.randoms())
def test_salts_weighed_in_are_all_there_in_any_order(volume, salts, chance):
    mixed = list(salts)
    chance.shuffle(mixed)
    one = other = Solution(volume)
    for salt, grams in salts:
        one = one.with_grams(salt.holds, grams)
    for salt, grams in mixed:
        other = other.with_grams(salt.holds, grams)
    weighed = sum(sum(salt.holds.values()) * grams * 1000 for salt, grams in salts)
    assert sum(one.mg.values()) == pytest.approx(weighed)
    assert one.mg == pytest.approx(other.mg)


@given(VOLUMES, PPM, st.floats(1, 20))
def test_thinning_and_thickening_by_the_same_share_returns(volume, ppm, times):
    solution = Solution.of(volume, ppm)
    thinned = solution.thinned_to(volume * times)
    assert thinned.mg == solution.mg
    assert {one: value * times for one, value in thinned.ppm.items()} == pytest.approx(solution.ppm)


@given(VOLUMES, PPM, st.floats(0, 1))
def test_taking_a_part_and_pouring_it_back_returns(volume, ppm, share):
    whole = Solution.of(volume, ppm)
    taken = whole.part(volume * share)
    again = taken + whole.part(volume - taken.volume_l)
    assert again.volume_l == pytest.approx(volume)
    assert again.mg == pytest.approx(dict(whole.mg), abs=1e-6)


def test_the_waters_own_analysis_is_subtracted_and_nothing_is_wanted_below_zero():
    assert lacking({"Ca": 90, "Mg": 24, "K": 210}, {"Ca": 60, "Mg": 30, "Na": 20}) == {"Ca": 30, "Mg": 0.0, "K": 210}


@pytest.mark.parametrize(
    "wrong", [lambda: Solution(0).ppm, lambda: Solution(5).part(6), lambda: Solution(5).thinned_to(4)]
)
def test_what_cannot_be_is_refused(wrong):
    with pytest.raises(OutOfRange):
        wrong()
