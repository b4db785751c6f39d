"""`rowcall place`, `crop` and `labels`, run as a person would."""

import pytest
from pypdf import PdfReader

CROP = '[thai_basil]\nlike = "basil"\nnames.en = ["thai basil"]\n[thai_basil.figures]\ntower_days = {days}\n'


def test_place_says_what_stood_there_on_a_past_day(rowcall):
    assert rowcall("place", "B7", "--on", "2026-05-03").output == "In B7 Sun May 3: 8 romaine.\n"
    assert rowcall("place", "b7", "--on", "2026-05-03").output == "In B7 Sun May 3: 8 romaine.\n"
    assert "The books begin" in rowcall("place", "B7", "--on", "2025-01-01").output


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("place", "Z9"), "there is no place 'Z9'"),
        (("place", "B7", "--on", "May 3"), "--on 'May 3' is no day"),
        (("labels", "--rows", "A-Z", "out.pdf"), "the rows are A, B, C, D, E, F"),
        (("labels", "--paper", "napkin", "out.pdf"), "napkin"),
    ],
)
def test_what_cannot_be_is_said_in_words(rowcall, words, said):
    outcome = rowcall(*words)
    assert outcome.exit_code == 2
    assert said in outcome.output


def test_a_crop_is_added_from_a_file_and_listed(rowcall, tmp_path):
    (tmp_path / "thai.toml").write_text(CROP.format(days=24))
    assert rowcall("crop", "add", str(tmp_path / "thai.toml")).output == "thai_basil is added.\n"
    line = next(one for one in rowcall("crop", "list").output.splitlines() if one.startswith("thai_basil"))
    assert line.split() == ["thai_basil", "5", "9", "24", "3", "18", "70%"]
    (tmp_path / "thai.toml").write_text(CROP.format(days=26))
    assert rowcall("crop", "add", str(tmp_path / "thai.toml")).output == "thai_basil is changed.\n"
    assert rowcall("verify").exit_code == 0


def test_a_file_with_a_fault_changes_nothing(rowcall, tmp_path):
    (tmp_path / "thai.toml").write_text(CROP.format(days=240))
    outcome = rowcall("crop", "add", str(tmp_path / "thai.toml"))
    assert outcome.exit_code == 2
    assert "tower_days = 240: it lies between 5 and 200" in outcome.output
    assert "thai_basil" not in rowcall("crop", "list").output


def test_labels_of_some_rows_are_written_to_a_pdf(rowcall, tmp_path):
    out = tmp_path / "labels.pdf"
    made = rowcall("labels", "--rows", "A-B", "--trays", "2", "--paper", "a4", str(out))
    assert made.output == f"50 labels on 2 sheets of a4: {out}\n"
    text = "\n".join(page.extract_text() for page in PdfReader(out).pages)
    assert "A1\n" in text
    assert "B24" in text
    assert "C1\n" not in text
    assert "tray 2" in text
