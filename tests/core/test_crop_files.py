"""Crops of the farm's own: like a known one, or from a file; what cannot be is told all at once."""

import pytest

from core.crop_files import bounds, like, read_crop, slug_of
from core.crops import profile, profiles
from core.errors import BadCrop

THAI = """
[thai_basil]
like = "basil"
names.en = ["thai basil", "thai"]
names.es = ["albahaca tai"]

[thai_basil.figures]
tower_days = 24
tower_loss = { value = 0.05, source = "our counts of 2025" }

[thai_basil.ranges]
ec = { least = 1.2, most = 1.6 }
"""

WHOLE = """
[sorrel]
kind = "cut once"
names.en = ["sorrel"]

[sorrel.figures]
cover_days = 6
shelf_days = 14
tower_days = 30
cuts = 1
germination = 0.65
seeds_per_plug = 3
mass_g = 50
"""


def faults(text):
    with pytest.raises(BadCrop) as bad:
        read_crop(text, profiles())
    return bad.value.faults


def test_a_crop_like_another_has_its_figures_but_for_those_said():
    made, basil = like(profile("basil"), "Thai basil", ["en"], {"tower_days": 24}), profile("basil")
    assert (made.slug, made.tower_days, made.shelf_days, made.cuts) == ("thai_basil", 24, basil.shelf_days, basil.cuts)
    assert made.names == {"en": ("Thai basil",)}


def test_a_crop_cut_once_does_not_regrow_whatever_it_is_like():
    made = like(profile("kale"), "baby kale", ["en"], {"cuts": 1})
    assert (made.kind, made.regrow_days) == ("cut once", None)


def test_a_crop_cut_again_needs_the_days_between():
    with pytest.raises(BadCrop, match="days between cuts"):
        like(profile("romaine"), "baby romaine", ["en"], {"cuts": 3})
    made = like(profile("romaine"), "baby romaine", ["en"], {"cuts": 3, "regrow_days": 12})
    assert (made.kind, made.regrow_days) == ("cut and regrow", 12)


def test_a_file_says_what_differs_and_where_it_is_from():
    made = read_crop(THAI, profiles())
    assert (made.tower_days, made.losses["tower"], made.ranges["ec"]) == (24, 0.05, (1.2, 1.6))
    assert made.sources["tower_loss"] == "our counts of 2025"
    assert made.sources["tower_days"] == "the farm's own"
    assert made.sources["shelf_days"] == profile("basil").sources["shelf_days"]
    assert made.names["es"] == ("albahaca tai",)


def test_a_file_may_stand_by_itself():
    made = read_crop(WHOLE, profiles())
    assert (made.kind, made.tower_days, made.regrow_days, made.window_days) == ("cut once", 30, None, 7)


def test_every_fault_of_a_file_is_told():
    said = faults(
        WHOLE.replace("cover_days = 6", "cover_days = 600").replace("mass_g = 50", "mas_g = 50") + "colour = 1\n"
    )
    assert any("cover_days = 600" in one for one in said)
    assert any(one.startswith("mas_g: no such figure") for one in said)
    assert "mass_g: missing" in said
    assert any(one.startswith("colour") for one in said)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("[x", "no TOML"),
        ("tower_days = 3", "one crop"),
        ("", "one crop"),
        (THAI.replace('"basil"', '"bazil"'), "no such crop"),
        (THAI.replace("24", '"many"'), "tower_days = many"),
        (THAI.replace("24", "24.5"), "whole number"),
        (THAI.replace("24", "true"), "tower_days = True"),
        (THAI.replace("1.2", "1.9"), "below most"),
        (THAI.replace("ec =", "sugar ="), "no such measure"),
        (THAI.replace("thai_basil", "Thai-Basil"), "small letters"),
        (WHOLE.replace('["sorrel"]', '"sorrel"'), "names"),
        (WHOLE.replace("cut once", "cut twice"), "kind"),
        (WHOLE.replace("cuts = 1", "cuts = 3"), "regrow_days"),
    ],
)
def test_what_cannot_be_is_told_in_words(text, fault):
    assert any(fault in one for one in faults(text))


@pytest.mark.parametrize("crop", profiles().values(), ids=list(profiles()))
def test_our_own_profiles_are_within_the_bounds(crop):
    figures = (
        "cover_days",
        "shelf_days",
        "tower_days",
        "cuts",
        "germination",
        "seeds_per_plug",
        "mass_g",
        "window_days",
    )
    assert all(getattr(crop, name) in bounds()[name] for name in figures)
    assert all(end in bounds()[measure] for measure, ends in crop.ranges.items() for end in ends)


def test_names_become_slugs():
    assert slug_of("Thai Basil (red)") == "thai_basil_red"
