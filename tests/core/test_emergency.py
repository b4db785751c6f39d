"""Which number is to be called."""

from zoneinfo import available_timezones

import pytest

from core.emergency import emergency_number


@pytest.mark.parametrize(
    ("zone", "own", "number"),
    [
        ("America/Chicago", "", "911"),
        ("America/Indiana/Indianapolis", "", "911"),
        ("Pacific/Honolulu", "", "911"),
        ("America/Toronto", "", "911"),
        ("Europe/Berlin", "", None),
        ("America/Chicago", "5-555", "5-555"),
        ("Nowhere/Else", "", None),
    ],
)
def test_the_farms_own_number_else_that_of_its_country(zone, own, number):
    assert emergency_number(zone, own) == number


def test_a_number_is_known_only_where_its_country_is():
    """Nobody is sent to a number of another country: no zone outside America and the Pacific has one."""
    known = {zone for zone in available_timezones() if emergency_number(zone, "")}
    assert {zone.split("/")[0] for zone in known} == {"America", "Pacific"}
