"""When a crop moves up, is cut, and grows again."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.crops import next_cut, profile, profiles, ready_on, stage, up_on
from core.errors import NoSuchCrop

SOWN = date(2026, 5, 4)


def test_plants_go_from_the_cover_to_the_shelves_to_the_towers_to_the_cut():
    butterhead = profile("butterhead")
    shelved = up_on(butterhead, "cover", SOWN)
    planted = up_on(butterhead, "shelf", shelved)
    assert (shelved, planted) == (date(2026, 5, 6), date(2026, 5, 18))
    assert up_on(butterhead, "tower", planted) is None
    assert ready_on(butterhead, planted) == date(2026, 6, 15)


def test_a_herb_is_ready_again_after_its_regrowth_days():
    assert next_cut(profile("mint"), SOWN, cuts=1, last_cut=date(2026, 6, 1)) == date(2026, 6, 25)


def test_plants_not_yet_cut_are_ready_when_their_tower_days_are_over():
    assert next_cut(profile("mint"), SOWN) == ready_on(profile("mint"), SOWN)


def test_a_plant_that_gave_all_its_cuts_is_not_cut_again():
    kale = profile("kale")
    assert next_cut(kale, SOWN, cuts=kale.cuts - 1, last_cut=date(2026, 7, 1)) is not None
    assert next_cut(kale, SOWN, cuts=kale.cuts, last_cut=date(2026, 7, 1)) is None


@pytest.mark.parametrize("slug", [slug for slug, crop in profiles().items() if crop.kind != "cut and regrow"])
def test_a_crop_cut_once_does_not_grow_again(slug):
    assert next_cut(profile(slug), SOWN, cuts=1, last_cut=date(2026, 7, 1)) is None


@pytest.mark.parametrize(
    ("kind", "since", "cuts", "last_cut", "expected"),
    [
        ("cover", date(2026, 6, 1), 0, None, "covered"),
        ("shelf", date(2026, 6, 1), 0, None, "on the shelves"),
        ("tower", date(2026, 5, 5), 0, None, "growing"),
        ("tower", date(2026, 5, 4), 0, None, "ready"),
        ("tower", date(2026, 3, 1), 2, date(2026, 5, 21), "regrowing"),
        ("tower", date(2026, 3, 1), 2, date(2026, 5, 20), "ready"),
        ("tower", date(2026, 1, 1), 5, date(2026, 5, 30), "cut"),
    ],
)
def test_kale_on_the_first_of_june_is(kind, since, cuts, last_cut, expected):
    assert stage(profile("kale"), kind, since, date(2026, 6, 1), cuts, last_cut) == expected


def test_a_crop_without_a_profile_is_refused_with_the_names_there_are():
    with pytest.raises(NoSuchCrop, match=r"kale.*romaine") as refused:
        profile("rhubarb")
    assert refused.value.valid == sorted(profiles())


@given(st.sampled_from(sorted(profiles())), st.dates(date(2000, 1, 1), date(2099, 1, 1)), st.integers(0, 400))
def test_no_crop_is_ready_before_the_day_it_is_first_cut(slug, since, later):
    crop, day = profile(slug), since + timedelta(days=later)
    assert (stage(crop, "tower", since, day) == "ready") == (day >= ready_on(crop, since))


@pytest.mark.parametrize("crop", profiles().values(), ids=list(profiles()))
def test_every_figure_of_a_profile_has_a_source(crop):
    figures = {"cover_days", "shelf_days", "tower_days", "cuts", "germination", "seeds_per_plug", "mass_g"}
    figures |= {"window_days", "spacing_cm", "shelf_loss", "tower_loss"}
    figures |= {f"{stage}_spread" for stage in ("cover", "shelf", "tower")}
    regrows = {"regrow_days", "regrow_spread", "regrow_loss"} if crop.kind == "cut and regrow" else set()
    assert set(crop.sources) == figures | regrows | set(crop.ranges)
    assert {"ph", "ec", "air_temp", "dli", "germ_temp"} <= set(crop.ranges)
    assert all(source.strip() for source in crop.sources.values())


@pytest.mark.parametrize("crop", profiles().values(), ids=list(profiles()))
def test_every_profile_is_possible(crop):
    assert min(crop.cover_days, crop.shelf_days, crop.tower_days, crop.cuts, crop.seeds_per_plug, crop.mass_g) > 0
    assert 0 < crop.germination <= 1
    assert all(0 <= loss < 0.5 for loss in crop.losses.values())
    days = {"cover": crop.cover_days, "shelf": crop.shelf_days, "tower": crop.tower_days, "regrow": crop.regrow_days}
    assert all(0 < spread < days[stage] for stage, spread in crop.spread.items())
    assert crop.window_days > 0
    assert all(least < most for least, most in crop.ranges.values())
    assert (crop.cuts > 1) == (crop.regrow_days is not None) == (crop.kind == "cut and regrow")


def test_there_are_profiles_of_at_least_a_dozen_leafy_and_herb_crops():
    assert len(profiles()) >= 12


def test_no_two_crops_are_called_the_same():
    """A name that meant two crops would have to be asked about each time."""
    ways = [(name, crop.slug) for crop in profiles().values() for names in crop.names.values() for name in set(names)]
    owners = {name: {slug for way, slug in ways if way == name} for name, _ in ways}
    assert {name: slugs for name, slugs in owners.items() if len(slugs) > 1} == {}
