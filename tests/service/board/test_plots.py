import re
from xml.etree import ElementTree as ET

import pytest

from service.board.plots import Series, band, bars

LABELS = ["Nov 2", "Nov 9", "Nov 16"]
LINE, LOW, HIGH = Series("expected", [10, None, 14]), Series("", [8, 9, 11]), Series("8 weeks in 10", [12, 13, 17])
TARGETS = Series("target", [11, None, 11])
SVG = "{http://www.w3.org/2000/svg}"


def drawings():
    forecast = band("Kale <b>", 'Kale & "co" goes up.', LABELS, LINE, LOW, HIGH, unit="bunches", targets=TARGETS)
    return forecast, bars("Cut", "What was cut.", LABELS, Series("cut", [3, 0, 7]), unit="heads", targets=TARGETS)


@pytest.mark.parametrize("drawing", drawings(), ids=["band", "bars"])
def test_a_drawing_for_a_page_is_named_and_described_and_its_text_is_text(drawing):
    root = ET.fromstring(drawing.svg())
    title, desc = root[0], root[1]
    assert (title.tag, title.text) == (f"{SVG}title", drawing.title)
    assert (desc.tag, desc.text) == (f"{SVG}desc", drawing.description)
    assert root.get("role") == "img"
    assert root.get("aria-labelledby").split() == [title.get("id"), desc.get("id")]
    said = {text.text for text in root.iter(f"{SVG}text")}
    assert {*LABELS, drawing.unit, "target"} <= said


@pytest.mark.parametrize("drawing", drawings(), ids=["band", "bars"])
def test_a_drawing_brings_no_style_and_takes_its_colours_from_the_page(drawing):
    svg = str(drawing.svg())
    assert "style" not in svg
    assert set(re.findall(r'(?:fill|stroke)="([^"]+)"', svg)) == {"none", "var(--ink)", "var(--band)", "var(--accent)"}


def test_two_drawings_on_a_page_share_no_id():
    first, second = (set(re.findall(r'\bid="([^"]+)"', drawing.svg())) for drawing in drawings())
    assert first
    assert first & second == set()


def test_the_same_drawing_is_the_same_every_time():
    assert [one.svg() for one in drawings()] == [one.svg() for one in drawings()]


@pytest.mark.parametrize("drawing", drawings(), ids=["band", "bars"])
def test_the_same_drawing_is_a_picture_small_enough_for_a_text(drawing):
    picture = drawing.png()
    assert picture.startswith(b"\x89PNG")
    assert len(picture) < 200_000


def test_the_bars_are_as_high_as_their_numbers():
    root = ET.fromstring(bars("Cut", "", LABELS, Series("cut", [3, 0, 6]), unit="").svg())
    tops = [path.get("d") for path in root.iter(f"{SVG}path") if path.get("fill") == "var(--band)"][:3]
    heights = [max(ys) - min(ys) for d in tops if (ys := [float(y) for y in re.findall(r"[ML] \S+ (\S+)", d)])]
    assert heights[2] == pytest.approx(2 * heights[0], rel=1e-3)
    assert heights[1] == 0


def test_nothing_at_all_can_be_drawn():
    assert "<svg" in bars("Cut", "Nothing was cut.", [], Series("cut", []), unit="heads").svg()
