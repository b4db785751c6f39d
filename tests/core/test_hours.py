"""What counts as hours, what waits for a lead, and when a forgotten leaving is asked about."""

from datetime import UTC, date, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from core.hours import WorkDay, Worked, ask_about_leaving, by_month, counted, worth

MAY_4 = date(2026, 5, 4)
NOON = datetime(2026, 5, 4, 17, tzinfo=UTC)


def test_what_somebody_says_they_worked_stands_for_what_follows_from_arriving_and_leaving():
    rows = [Worked(1, MAY_4, 95, "visit"), Worked(1, MAY_4, 120, "said")]
    assert counted(rows) == {1: [WorkDay(MAY_4, 120, waits=True)]}


def test_two_stays_on_one_day_add_up():
    rows = [Worked(1, MAY_4, 60, "visit"), Worked(1, MAY_4, 45, "visit")]
    assert counted(rows) == {1: [WorkDay(MAY_4, 105, waits=False)]}


def test_hours_that_a_lead_approved_wait_no_more():
    assert counted([Worked(1, MAY_4, 120, "said", approved=True)])[1][0].waits is False


def test_a_day_waits_while_any_of_its_reports_does():
    rows = [Worked(1, MAY_4, 60, "said", approved=True), Worked(1, MAY_4, 30, "said")]
    assert counted(rows) == {1: [WorkDay(MAY_4, 90, waits=True)]}


ROWS = st.lists(
    st.builds(
        Worked,
        person_id=st.integers(1, 4),
        on=st.dates(date(2026, 1, 1), date(2026, 12, 31)),
        minutes=st.integers(1, 600).map(float),
        source=st.sampled_from(["said", "visit"]),
        approved=st.booleans(),
    ),
    max_size=30,
)


@given(ROWS)
def test_months_add_up_to_all_days_and_no_minute_is_made_up(rows):
    for person, days in counted(rows).items():
        assert sum(by_month(days).values()) == sum(day.minutes for day in days)
        assert sum(day.minutes for day in days) <= sum(row.minutes for row in rows if row.person_id == person)
        assert [day.on for day in days] == sorted({row.on for row in rows if row.person_id == person})


@given(ROWS, st.randoms())
def test_the_order_in_which_hours_were_booked_changes_nothing(rows, random):
    shuffled = list(rows)
    random.shuffle(shuffled)
    assert counted(rows) == counted(shuffled)


def test_somebody_on_a_shift_is_asked_a_while_after_it():
    ends = NOON + timedelta(hours=3)
    assert ask_about_leaving(NOON, ends, NOON + timedelta(hours=8)) == ends + timedelta(minutes=45)


def test_somebody_who_came_for_no_shift_is_asked_after_the_farm_closed():
    closes = NOON + timedelta(hours=8)
    assert ask_about_leaving(NOON, None, closes) == closes + timedelta(minutes=45)


def test_who_came_after_closing_is_not_asked_at_once():
    assert ask_about_leaving(NOON, None, NOON - timedelta(hours=1)) > NOON


def test_there_is_no_worth_for_a_year_before_the_first_published_figure():
    assert worth(60, 1999) is None
