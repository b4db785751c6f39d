"""What the tests of understanding share: the demo farm's words and a short way to read a text."""

from collections.abc import Callable
from datetime import datetime

import pytest

from core.vocabulary import Vocabulary
from service.demo import demo_vocabulary
from service.understanding import Context, TextReading, understand

WEDNESDAY = datetime.fromisoformat("2026-05-06T10:00")

Read = Callable[..., TextReading]


@pytest.fixture(scope="session")
def words() -> Vocabulary:
    return demo_vocabulary()


@pytest.fixture(scope="session")
def read(words: Vocabulary) -> Read:
    """Reads a text as Keisha would have sent it on a Wednesday morning."""

    def reading(text: str, sent: datetime = WEDNESDAY, context: Context | None = None) -> TextReading:
        return understand(text, sent=sent, sender="keisha", vocabulary=words, context=context or Context())

    return reading
