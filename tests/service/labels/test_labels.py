"""Labels: the text each code opens, and sheets that hold what they should, read back from the PDF."""

import re
from urllib.parse import parse_qs, unquote, urlsplit

import pytest
from pypdf import PdfReader
from reportlab.lib.units import mm

from service.demo import demo_vocabulary
from service.labels import grid, of_places, of_trays, papers, print_labels, sizes
from service.labels.label import text_address
from service.understanding import understand
from service.words import Speaker
from tests.demo_farm import NOW

PHONE = "+13125550199"
WORDS = demo_vocabulary()
SPEAKER = Speaker("en", WORDS, NOW.date())
PAPER_MM = {"letter": (215.9, 279.4), "a4": (210, 297)}


def labels(*codes, speaker=SPEAKER):
    return of_places(codes, WORDS, PHONE, speaker)


def read(file):
    return [page.extract_text() for page in PdfReader(file).pages]


def addresses(file):
    links = [note.get_object() for page in PdfReader(file).pages for note in page.get("/Annots", [])]
    return [link["/A"]["/URI"] for link in links]


def test_a_code_opens_a_text_to_the_farm_that_begins_with_the_place():
    """RFC 5724, section 2.2: sms:number?body=text; section 2.5: the body is percent-encoded UTF-8."""
    (label,) = labels("B7")
    assert label.address == "sms:+13125550199?body=B7%20"
    assert parse_qs(urlsplit(label.address).query, keep_blank_values=True) == {"body": ["B7 "]}


def test_the_body_is_encoded_as_rfc_5724_has_it():
    """The example of section 2.5: "hello there" is written hello%20there; a plus or an ampersand would end it."""
    assert text_address("+15105550101", "hello there") == "sms:+15105550101?body=hello%20there"
    assert unquote(text_address(PHONE, "A & B + 1%").split("body=")[1]) == "A & B + 1%"


@pytest.mark.parametrize(("code", "rest"), [("B7", "8 romaine"), ("main", "ph 6.1"), ("nursery", "ec 1.6")])
def test_what_a_code_begins_is_understood_once_it_is_finished(code, rest):
    body = unquote(labels(code)[0].address.split("body=")[1]) + rest
    assert understand(body, sent=NOW, sender="walt", vocabulary=WORDS).verdict == "record"


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_tray_s_code_begins_a_sowing(language):
    label = of_trays(1, PHONE, Speaker(language, WORDS, NOW.date()))[0]
    body = unquote(label.address.split("body=")[1]) + "kale"
    (note,) = understand(body, sent=NOW, sender="walt", vocabulary=WORDS).notes
    assert (note.act, note.crop, note.trays) == ("sow", "kale", 1)


def test_a_shelf_and_a_tank_are_named_as_the_crew_says_them():
    assert [one.title for one in labels("shelf2", "main")] == ["shelf 2", "main"]
    assert labels("shelf2", speaker=Speaker("es", WORDS, NOW.date()))[0].title == "estante 2"


@pytest.mark.parametrize("paper", papers())
@pytest.mark.parametrize("size", sizes())
def test_labels_fit_the_paper_and_do_not_overlap(paper, size):
    laid, (width, height) = grid(paper, size), PAPER_MM[paper]
    corners = [laid.corner(at, height) for at in range(laid.on_a_sheet)]
    assert all(x >= 0 and x + laid.width <= width and y >= 0 and y + laid.height <= height for x, y in corners)
    for n, (x, y) in enumerate(corners):
        for other_x, other_y in corners[n + 1 :]:
            assert abs(x - other_x) >= laid.width - 1e-9 or abs(y - other_y) >= laid.height - 1e-9


@pytest.mark.parametrize("paper", papers())
def test_every_place_is_on_the_sheets_once_at_the_paper_s_size(paper, tmp_path):
    codes = [f"{row}{n}" for row in "ABC" for n in range(1, 25)]
    sheets = print_labels(labels(*codes), paper, "small", tmp_path / "out.pdf")
    pages = PdfReader(tmp_path / "out.pdf").pages
    assert len(pages) == sheets == 3
    box = pages[0].mediabox
    assert [float(box.width) / mm, float(box.height) / mm] == pytest.approx(PAPER_MM[paper], abs=0.1)
    printed = re.findall(r"^([A-C]\d+)$", "\n".join(read(tmp_path / "out.pdf")), re.MULTILINE)
    assert sorted(printed) == sorted(codes)
    assert addresses(tmp_path / "out.pdf") == [f"sms:{PHONE}?body={code}%20" for code in codes]


def test_the_number_to_text_stands_on_every_label(tmp_path):
    print_labels(labels("A1", "main"), "letter", "large", tmp_path / "out.pdf")
    assert read(tmp_path / "out.pdf")[0].count("+1-312-555-0199") == 2


def test_a_long_name_is_written_smaller_not_over_the_edge(tmp_path):
    long = of_places(["the_very_long_name_of_a_tank_nobody_uses"], WORDS, PHONE, SPEAKER)
    print_labels(long, "a4", "small", tmp_path / "out.pdf")
    assert "nobody uses" in read(tmp_path / "out.pdf")[0].replace("_", " ")


def test_the_same_labels_make_the_same_file(tmp_path):
    for name in ("one", "two"):
        print_labels(labels("A1"), "letter", "small", tmp_path / name)
    assert (tmp_path / "one").read_bytes() == (tmp_path / "two").read_bytes()
