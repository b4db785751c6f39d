"""The poster to join: its code, both languages, the wording of consent, read back from the PDF."""

import pytest
from pypdf import PdfReader

from core.outcome import fact
from service.conversation.joining import asked_to_join
from service.demo import demo_vocabulary
from service.labels import papers
from service.posters import print_poster
from service.words import Speaker
from tests.demo_farm import NOW

WORDS = demo_vocabulary()
PHONE = "+13125550199"


def poster(tmp_path, paper="letter"):
    print_poster(WORDS, PHONE, paper, tmp_path / "poster.pdf")
    (page,) = PdfReader(tmp_path / "poster.pdf").pages
    return page


def test_the_code_opens_a_text_to_the_farm_that_asks_to_join(tmp_path):
    """RFC 5724, section 2.2."""
    (link,) = [one.get_object()["/A"]["/URI"] for one in poster(tmp_path)["/Annots"]]
    assert link == "sms:+13125550199?body=JOIN%20"
    assert asked_to_join("JOIN Rosa Gold") == ("en", "Rosa Gold")


@pytest.mark.parametrize("language", WORDS.languages)
def test_consent_is_told_in_the_very_words_in_which_it_will_be_asked(tmp_path, language):
    asked = Speaker(language, WORDS, NOW.date()).text([fact("ask_consent", farm=WORDS.farm)])
    assert asked.replace(" ", "") in "".join(poster(tmp_path).extract_text().split())


@pytest.mark.parametrize("paper", papers())
def test_everything_is_on_one_page_of_any_paper(tmp_path, paper):
    page = poster(tmp_path, paper)
    spots = []
    page.extract_text(visitor_text=lambda text, _, at, *rest: spots.append(at[5]) if text.strip() else None)
    assert min(spots) > 20
    assert max(spots) < float(page.mediabox.height) - 20
