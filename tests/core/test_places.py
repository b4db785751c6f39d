"""Places of any layout."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.places import GROWING, LIVES, between, codes, in_runs, place_order
from service.demo import demo_vocabulary

WORDS = demo_vocabulary()
MIXED = replace(
    WORDS,
    tower_rows={"A": 4, "N": 6, "R": 3, "BED": 2},
    row_kinds={"N": "channel", "R": "raft", "BED": "bed"},
    row_sites={"N": 12, "R": 60, "BED": 100},
)


def test_one_walks_from_a2_to_a10():
    assert sorted(["A10", "B1", "A2"], key=place_order) == ["A2", "A10", "B1"]


def test_a_range_runs_within_its_row():
    assert between("A1", "A4") == codes("A", 4)
    assert between("A1", "B2") == ["A1", "B2"]


def test_neighbours_are_drawn_together():
    assert list(in_runs(["A2", "A1", "A5", "B1"])) == [["A1", "A2"], ["A5"], ["B1"]]


@pytest.mark.parametrize(("code", "kind"), [("A4", "tower"), ("N6", "channel"), ("R3", "raft"), ("BED2", "bed")])
def test_every_kind_of_row_is_a_place_where_plants_grow(code, kind):
    assert MIXED.is_tower(code)
    assert MIXED.kind(code) == kind
    assert LIVES[kind] == "tower"


@pytest.mark.parametrize("code", ["A5", "N7", "BED3", "BED", "Z1", "A0"])
def test_a_place_that_was_not_built_is_none(code):
    assert not MIXED.is_tower(code)


def test_each_row_has_its_own_sites():
    assert MIXED.sites(["A1", "N1", "R1", "BED1", "shelf1", "Z9"]) == MIXED.sites_per_tower + 12 + 60 + 100


def test_shelves_and_the_cover_have_their_kinds():
    assert (MIXED.kind("shelf1"), MIXED.kind("dome")) == ("shelf", "cover")


@given(st.sets(st.tuples(st.sampled_from(["A", "BED"]), st.integers(1, 30))))
def test_runs_hold_every_place_once(places):
    named = {f"{row}{n}" for row, n in places}
    assert sorted(code for run in in_runs(named) for code in run) == sorted(named)


def test_plants_grow_in_all_kinds_but_shelves_and_the_cover():
    assert {kind for kind, life in LIVES.items() if life == "tower"} == {*GROWING, "towers"}
