"""What falls due every so many days."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from core.upkeep import due, rules

DAY = date(2026, 5, 4)


def test_a_thing_is_due_on_the_day_its_days_are_over_and_not_before():
    days = rules()["floor"].every_days
    others = dict.fromkeys(rules(), DAY)
    assert due(others | {"floor": DAY - timedelta(days=days)}, DAY, DAY) == ["floor"]
    assert due(others | {"floor": DAY - timedelta(days=days - 1)}, DAY, DAY) == []


def test_what_was_never_seen_to_counts_from_the_day_the_books_begin():
    assert due({}, DAY, DAY) == []
    assert due({}, DAY, DAY - timedelta(days=365)) == list(rules())


@given(st.dictionaries(st.sampled_from(sorted(rules())), st.integers(0, 400)), st.integers(0, 30))
def test_what_is_due_stays_due_until_it_is_done(ago, later):
    last = {thing: DAY - timedelta(days=days) for thing, days in ago.items()}
    assert set(due(last, DAY, DAY)) <= set(due(last, DAY + timedelta(days=later), DAY))
