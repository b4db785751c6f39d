"""Readings thinned out for a drawing show the same highs and lows."""

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from core.readings.curve import thinned

START = datetime(2026, 5, 4, tzinfo=UTC)
END = START + timedelta(days=14)

POINTS = st.lists(
    st.tuples(
        st.integers(0, 14 * 24 * 3600 - 1).map(lambda s: START + timedelta(seconds=s)), st.floats(0, 14, width=32)
    ),
    max_size=300,
    unique_by=lambda point: point[0],
)


@given(POINTS)
def test_thinned_points_are_few_in_order_and_among_those_read(points):
    kept = thinned(points, START, END, most=40)
    assert len(kept) <= 40
    assert list(kept) == sorted(kept)
    assert set(kept) <= set(points)


@given(POINTS.filter(bool))
def test_the_lowest_and_the_highest_are_never_thinned_out(points):
    values = [value for _, value in points]
    kept = [value for _, value in thinned(points, START, END, most=40)]
    assert (min(kept), max(kept)) == (min(values), max(values))
