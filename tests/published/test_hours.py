"""The value of volunteer hours against the published yearly figures."""

import pytest

from core.hours import worth

PUBLISHED = [
    (2006, 18.77, "Independent Sector, Value of Volunteer Time, figure for 2006"),
    (2014, 23.07, "Independent Sector, figure for 2014"),
    (2015, 23.56, "Independent Sector, figure for 2015"),
    (2020, 28.54, "Independent Sector, release of April 2021 (GlobeNewswire, 20 Apr 2021)"),
    (2021, 29.95, "Independent Sector, release of April 2022 (GlobeNewswire, 18 Apr 2022)"),
]


@pytest.mark.parametrize(("year", "usd", "source"), PUBLISHED)
def test_an_hour_is_worth_the_published_figure_of_its_year(year, usd, source):
    value = worth(60, year)
    assert (value.amount, value.rate, value.year, value.currency) == (usd, usd, year, "USD"), source


def test_the_rise_from_2020_to_2021_is_the_published_4_9_per_cent():
    """GlobeNewswire, 18 Apr 2022: "a 4.9% increase over the previous year"."""
    assert round(100 * (worth(60, 2021).rate / worth(60, 2020).rate - 1), 1) == 4.9


def test_a_year_without_a_figure_takes_the_last_one_before_it_and_says_so():
    value = worth(600, 2017)
    assert (value.amount, value.year) == (235.6, 2015)
