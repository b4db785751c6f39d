"""The sowing plan against what is published, and against common practice where nothing is."""

import json
from datetime import date, timedelta
from pathlib import Path

import pytest

from core.planning.model import Crop, Demand, Problem, Room
from core.planning.sowing_plan import plan

PUBLISHED = json.loads(Path("fixtures/published/horticulture.json").read_text("utf-8"))
MONDAY = date(2026, 5, 4)


def published(key):
    """A worked example of the reference file."""

    def search(node):
        if isinstance(node, dict):
            if node.get("id") == key:
                return node
            node = list(node.values())
        found = (search(one) for one in node) if isinstance(node, list) else ()
        return next((one for one in found if one), None)

    return search(PUBLISHED)


def steady(crop, heads, weeks, sites, covers=10_000.0):
    """A farm that wants the same every week, from the first week on in which something sown now is ready."""
    first = -(-crop.seed_to_cut_days // 7)
    return Problem(
        today=MONDAY,
        weeks=weeks,
        crops=(crop,),
        room=Room(cover_cells=(covers,) * weeks, shelf_cells=(covers,) * weeks, tower_sites=(sites,) * weeks),
        demand=tuple(Demand(crop=crop.slug, week=week, heads=heads, priority=1) for week in range(first, weeks)),
    )


@pytest.mark.parametrize(("cover", "shelf", "tower"), [(2, 12, 28), (3, 11, 35), (7, 14, 21)])
def test_sites_taken_are_starts_a_day_times_days_on_the_site(cover, shelf, tower):
    """Source: Little J.D.C., A Proof for the Queuing Formula L = lambda W, Operations Research 9(3):383-387, 1961."""
    assert published("littles-law")["source"].startswith("Little J.D.C.")
    crop = Crop(slug="lettuce", cover_days=cover, shelf_days=shelf, tower_days=tower, wait_weeks=0)
    made = plan(steady(crop, 35, 20, 10_000.0))
    middle = made.tower[9:13]
    assert middle == pytest.approx([35 / 7 * tower] * 4)


def test_a_bed_of_lettuce_a_cycle_of_eight_weeks_and_a_harvest_of_two_take_four_beds():
    """Source: Perpetual lettuce, Robbins Farm Garden, https://robbinsfarmgarden.org/perpetual-lettuce/"""
    example = published("succession-robbins")
    assert "Robbins Farm Garden" in example["source"]
    weeks_to_cut, harvest_weeks, beds = 8, 2, 4
    crop = Crop(slug="lettuce", cover_days=0, shelf_days=0, tower_days=7 * weeks_to_cut, wait_weeks=harvest_weeks - 1)
    made = plan(steady(crop, 10, 24, 10_000.0))
    a_bed = 10 * harvest_weeks
    assert max(made.tower[10:14]) <= beds * a_bed + 1e-6


@pytest.mark.parametrize(("tower_days", "heads"), [(35, 400), (42, 350)])
def test_a_forty_foot_container_gives_what_it_is_known_to_give(tower_days, heads):
    """256 towers of 10 sites hold 2,560 heads and give 350 to 400 a week at eight to nine weeks from seed to harvest,
    three of them before the towers; common practice, no source. One plant in ten is taken to be lost.
    """
    sites = 256 * 10
    assert sites == 2560
    crop = Crop(
        slug="lettuce", cover_days=2, shelf_days=19, tower_days=tower_days, wait_weeks=0, up=0.9, tower_keep=0.9
    )
    assert 56 <= crop.seed_to_cut_days <= 63
    made = plan(steady(crop, heads, 24, sites))
    assert made.missing < 1
    assert 0.85 * sites <= max(made.tower) <= sites
    assert plan(steady(crop, heads * 1.25, 24, sites)).missing > heads


def test_basil_is_cut_three_times_two_to_three_weeks_apart_after_four_weeks_before_the_towers():
    """Common practice, no source."""
    basil = Crop(slug="basil", cover_days=7, shelf_days=21, tower_days=21, regrow_days=17, cuts=3, wait_weeks=0)
    problem = steady(basil, 0, 20, 500.0)
    first = 7
    cuts = [first + round(n * 17 / 7 - 0.5) for n in range(3)]
    wanted = tuple(Demand(crop="basil", week=week, heads=10, priority=1) for week in cuts)
    made = plan(Problem(today=MONDAY, weeks=20, crops=(basil,), room=problem.room, demand=wanted))
    assert made.sow["basil"][0] == 10
    assert made.missing < 0.1
    assert MONDAY + timedelta(days=basil.seed_to_cut_days) == problem.monday(first)
