"""`rowcall dose`: what it sets, what it reckons, and what it says when a figure cannot be."""

import pytest


def test_the_strength_that_is_set_is_dosed_by(rowcall):
    assert rowcall("dose", "nutrients", "10", "10", "1.6").exit_code == 0
    said = rowcall("say", "--as", "walt", "--at", "2026-05-04T09:10", "main ec 1.1 want 1.6")
    assert "960 mL A and 960 mL B" in said.output or "950 mL A and 950 mL B" in said.output
    assert rowcall("verify").output == "The tables of 1 farm(s) say what the journal says.\n"


def test_a_bottle_is_set_with_its_caution(rowcall):
    set_ = rowcall("dose", "bottle", "ph_down", "nitric", "20", "--density", "1.12")
    assert "ph_down is 20 % nitric." in set_.output
    assert "Acid into water, never water into acid." in set_.output


def test_water_is_taken_in_milligrams_of_carbonate_too(rowcall):
    assert "2.00 meq/L (100 mg/L CaCO3)" in rowcall("dose", "water", "100", "7.6", "0.3", "--caco3").output


def test_a_stock_is_weighed_in_two_parts_with_its_source(rowcall):
    lines = rowcall("dose", "stock", "leafy", "--ratio", "100", "--litres", "10").output.splitlines()
    part_b = lines.index("B, in 10 L:")
    assert any("calcium_nitrate" in line and "473.70 g" in line for line in lines[:part_b])
    assert any("magnesium_sulfate" in line for line in lines[part_b:])
    assert any("Mattson" in line for line in lines)


def test_a_stock_that_would_not_dissolve_is_refused_in_words(rowcall):
    refused = rowcall("dose", "stock", "leafy", "--ratio", "2000")
    assert refused.exit_code == 2
    assert "too_strong: potassium_nitrate" in refused.output


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("bottle", "ph_down", "phosphoric", "20"), "there are 75 %, 85 %"),
        (("bottle", "ph_up", "phosphoric", "75"), "a base is ph_up"),
        (("nutrients", "0", "0", "1.6"), "give mL of A and B"),
        (("stock", "grandmas"), "hoagland_1"),
    ],
)
def test_what_cannot_be_is_refused_with_what_can(rowcall, words, said):
    refused = rowcall("dose", *words)
    assert refused.exit_code == 2
    assert said in refused.output
