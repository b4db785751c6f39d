"""The limits of readings against published figures, in fixtures/published/horticulture.json with their sources."""

import json
from pathlib import Path

import pytest

from core.readings import Range, alarming, limits, usual
from core.tasks import plugs_a_week

RECORDS = {
    record["id"]: record
    for record in json.loads(
        (Path(__file__).parents[2] / "fixtures" / "published" / "horticulture.json").read_text("utf-8")
    )
}


def published(record):
    return RECORDS[record]["value"]


@pytest.mark.parametrize("limit", ["OSHA_PEL_8h", "NIOSH_REL_TWA", "ACGIH_TWA"])
def test_the_alarm_for_people_is_at_the_limit_of_an_eight_hour_day(limit):
    """29 CFR 1910.1000 Table Z-1; NIOSH and ACGIH agree."""
    ppm = published("co2-limits")[limit]
    assert not alarming("co2", ppm)
    assert alarming("co2", ppm + 1)


def test_carbon_dioxide_is_fine_from_the_dark_to_the_lit_set_point():
    """Cornell set points, by a note that repeats them."""
    points = published("co2-enrich")
    assert usual("co2") == Range(points["ambient_dark"], points["cornell_light"])


def test_roots_short_of_oxygen_are_an_alarm():
    """Cornell set points, by a note that repeats them: below the floor growth is inhibited."""
    floor = published("nut-do-min")
    assert alarming("oxygen", floor - 0.1)
    assert not alarming("oxygen", floor)


def test_more_oxygen_than_cold_water_holds_is_unlikely():
    """EN 25814 as in the ProMinent Dulcotest DO manual p. 52, at 10 C."""
    assert limits()["oxygen", "likely"].range.high == published("do-saturation")["10"]


def test_the_usual_humidity_and_water_are_the_published_ones():
    """Cornell set points, by a note that repeats them."""
    assert usual("humidity") == Range(*published("rh-limits"))
    assert usual("water_temp").high == published("nut-water-temp")["max"]


def test_the_usual_acidity_is_the_general_band():
    """Combrink, Mixing a Balanced Nutrient Solution."""
    assert usual("ph") == Range(*published("nut-pH-general"))


def test_the_usual_strength_is_that_of_lettuce():
    """Singh, Dunn, Oklahoma State University HLA-6722; from memory."""
    assert usual("ec") == Range(*published("nut-osu-ecph")["lettuce"]["EC"])


def test_lettuce_likes_the_usual_air():
    """Horticulturae 6(1):7 (2020), by a secondary copy."""
    air = published("cal-lettuce-temp")
    assert air["night"] in usual("air_temp")
    assert air["day"] in usual("air_temp")


def test_enough_plugs_are_sown_for_the_plants_wanted():
    """Resh 2015, ch. 23 prints 35 for 35.3 and ch. 24 adds a tenth; rounding is up, so that none is short."""
    example = published("seed-resh")
    plants, germination = example["inputs"]["plants"], example["inputs"]["germination"]
    spare = published("overseed-10") / 100
    plugs = plugs_a_week(plants, germination, cuts=1)
    assert plugs == 39
    assert (plugs - 1) * germination < plants * (1 + spare) <= plugs * germination
