"""What the pages say: one data file a page and language beside this one, in the manner of the texts' sentences.

`frame.toml` is shared by all pages. A page's sentence may use every form that texts use ({places:places}), and the
texts' own sentences are there too, so that a page and a text say the same thing alike.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Any

from core.outcome import fact
from core.vocabulary import Vocabulary
from service.words import Speaker
from service.words.forms import FORMS

FOLDER = Path(__file__).parent / "words"
FRAME = "frame"


@lru_cache
def languages() -> tuple[str, ...]:
    """The languages the pages are written in."""
    return tuple(sorted(folder.name for folder in FOLDER.iterdir() if (folder / f"{FRAME}.toml").is_file()))


@lru_cache
def page_words(language: str, page: str) -> Mapping[str, Any]:
    """A page's sentences with those of the frame; of the frame alone where a page has none of its own."""
    files = (FOLDER / language / f"{name}.toml" for name in (FRAME, page))
    return {
        key: said for file in files if file.is_file() for key, said in tomllib.loads(file.read_text("utf-8")).items()
    }


def spoken(wanted: str) -> str:
    """The language if the pages are written in it, else English."""
    return wanted if wanted in languages() else "en"


class PageSpeaker(Speaker):
    """Says a page's sentences, and values in any form, in one language and about one farm."""

    def __init__(self, language: str, page: str, vocabulary: Vocabulary, today: date) -> None:
        super().__init__(language, vocabulary, today)
        self.sentences = {**self.sentences, **page_words(spoken(language), page)}

    def t(self, kind: str, /, **values: Any) -> str:
        """One sentence, filled. Nothing in it is folded: a page has every letter."""
        return self.say(fact(kind, **values))

    def either(self, kind: str, other: str, /, **values: Any) -> str:
        """The first of two sentences that is there: what is new in the books must not stop a page."""
        return self.t(kind if self.knows(kind) else other, **values)

    def short_day(self, day: date) -> str:
        """A day without its weekday, for the heads of tables and below figures: "Nov 28"."""
        names = self.manner.data["calendar"]
        said = names["date"].format(weekday="", month=names["months"][day.month - 1], day=day.day)
        return " ".join(str(said).split())

    def form(self, name: str, value: Any) -> str:
        """A value alone, in one of the forms of the texts ("places", "crop", "day")."""
        return FORMS[name](self.manner, value)


class FrameSpeaker:
    """Says the frame's own sentences where no farm is chosen yet: at the door, and on pages that say no."""

    def __init__(self, language: str) -> None:
        self.words = page_words(spoken(language), FRAME)

    def t(self, kind: str, /, **values: Any) -> str:
        """One sentence, filled."""
        return str(self.words[kind]).format(**values)
