"""What help suggests is understood: every example in it, in each language."""

from datetime import datetime

import pytest

from core.notes import from_record
from service.demo import demo_vocabulary
from service.understanding import understand
from service.understanding.reading import Context
from service.words import sentences
from tests.demo_farm import CHICAGO

SENT = datetime(2026, 5, 4, 9, 10, tzinfo=CHICAGO)
LAST = from_record({"act": "harvest", "crop": "kale", "count": 24})


def examples(language, kind):
    """(text, verdict) of each: reports are parted by semicolons, questions end in a mark, the last word takes back."""
    _, reports, rest = sentences(language)[kind].split(": ")
    reports = reports.rpartition(". ")[0]
    *questions, last = rest.split("? ")
    yield from (
        (text.strip().replace("...", "no hay luz" if language == "es" else "the door is fixed"), "record")
        for text in reports.split(";")
    )
    yield from ((f"{text}?", "answer") for text in questions)
    yield last.split()[0], "record"


SUGGESTED = [
    (language, *example)
    for language in ("en", "es")
    for kind in ("help_crew", "help_coordinator")
    for example in examples(language, kind)
]


@pytest.mark.parametrize(("language", "text", "verdict"), SUGGESTED)
def test_what_help_suggests_is_understood(language, text, verdict):
    sender = "priya" if language == "en" else "tomas"
    reading = understand(text, sent=SENT, sender=sender, vocabulary=demo_vocabulary(), context=Context(last=LAST))
    assert reading.verdict == verdict
    assert reading.notes
