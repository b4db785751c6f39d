"""Who is told of trouble and in which order, and when two reports are one."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.notes import TROUBLES
from core.trouble import Able, Told, is_same, kinds, turns, waves, within

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)
PRIYA, WALT, TOMAS = (Able(1, "coordinator"), Able(2, "lead"), Able(7, "lead"))

ABLE = st.lists(
    st.builds(Able, st.integers(1, 50), st.sampled_from(["lead", "coordinator"]), st.booleans()),
    unique_by=lambda one: one.person_id,
)


def on_shift(one):
    return Able(one.person_id, one.role, on_shift=True)


def test_every_kind_of_trouble_has_its_row():
    assert set(kinds()) == set(TROUBLES)


def test_who_is_on_shift_is_told_first_then_leads_then_the_coordinator():
    assert waves("leak", [PRIYA, WALT, on_shift(TOMAS)]) == ((7,), (2,), (1,))


def test_all_on_shift_are_told_together():
    assert waves("leak", [on_shift(PRIYA), WALT, on_shift(TOMAS)]) == ((7, 1), (2,))


def test_where_nobody_is_on_shift_a_lead_is_told_and_without_leads_the_coordinator():
    assert waves("leak", [PRIYA, WALT, TOMAS]) == ((2,), (7,), (1,))
    assert waves("leak", [PRIYA]) == ((1,),)
    assert waves("leak", []) == ()


@pytest.mark.parametrize("kind", ["injury", "fire", "smell"])
def test_where_people_are_in_danger_everybody_in_charge_is_told_at_once(kind):
    assert len(waves(kind, [PRIYA, WALT, TOMAS])) == 1


@given(st.sampled_from(TROUBLES), ABLE)
def test_everybody_in_charge_comes_to_their_turn_exactly_once(kind, able):
    told = [who for wave in waves(kind, able) for who in wave]
    assert sorted(told) == sorted(one.person_id for one in able)
    assert all(wave for wave in waves(kind, able))


@given(st.sampled_from(TROUBLES), ABLE)
def test_who_is_on_shift_is_never_told_after_who_is_not(kind, able):
    first = next(iter(waves(kind, able)), ())
    there = {one.person_id for one in able if one.on_shift}
    assert there <= set(first)


def test_the_next_is_told_after_the_minutes_of_the_kind():
    assert list(turns("leak", ((7,), (2,), (1,)), NOON)) == [
        (NOON + timedelta(minutes=15), 2),
        (NOON + timedelta(minutes=30), 1),
    ]


def test_the_same_leak_told_twice_is_one_and_a_leak_elsewhere_is_another():
    leak = Told("leak", ("C10",), NOON)
    assert is_same(leak, Told("leak", ("C10", "C11"), NOON + timedelta(hours=3)))
    assert not is_same(leak, Told("leak", ("D1",), NOON + timedelta(minutes=1)))
    assert not is_same(leak, Told("pump", ("C10",), NOON))
    assert not is_same(leak, Told("leak", ("C10",), NOON + within().same + timedelta(minutes=1)))


def test_a_report_without_a_place_is_the_same_trouble_only_for_a_while():
    leak, bare = Told("leak", ("C10",), NOON), Told("leak", (), NOON + timedelta(minutes=50))
    assert is_same(leak, bare)
    assert not is_same(leak, Told("leak", (), NOON + timedelta(minutes=70)))


def test_two_injuries_are_two():
    assert not is_same(Told("injury", ("room",), NOON), Told("injury", ("room",), NOON))


@given(
    st.builds(Told, st.sampled_from(TROUBLES), st.lists(st.sampled_from("ABC")).map(tuple), st.just(NOON)),
    st.builds(Told, st.sampled_from(TROUBLES), st.lists(st.sampled_from("ABC")).map(tuple), st.just(NOON)),
)
def test_being_the_same_does_not_hang_on_who_told_first(one, other):
    assert is_same(one, other) == is_same(other, one)
