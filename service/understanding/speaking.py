"""Somebody speaks for somebody: "june cant come thursday", "june worked 2 hours", "june picked 12 mint".

What is said of another's time is put into that person's own words and read like theirs. Who picked is read beside the
harvest. Whether the sender may say it is asked when it is carried out.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from core.vocabulary import Vocabulary
from service.understanding.found import Report, Told
from service.understanding.tokens import fold

LANGUAGES = ("en", "es")
LONGEST_NAME, LONGEST_VERB = 2, 3  # words
WORD = re.compile(r"[a-z0-9]+")


@dataclass(frozen=True, slots=True)
class Spoken:
    """Whose time a text is about, by handle, and the text as they would say it themselves."""

    whom: str
    words: str


@cache
def _data() -> Mapping[str, Any]:
    return tomllib.loads(Path(__file__).with_name("third_person.toml").read_text("utf-8"))


@cache
def _verbs() -> Mapping[str, str]:
    return {said: own for language in LANGUAGES for said, own in _data()[language].items()}


def spoken_for(text: str, sender: str, vocabulary: Vocabulary) -> tuple[Spoken, ...]:
    """Who a text is about that begins with names of the crew, not just the sender's, and what they can, did or are."""
    words = text.replace("’", "'").replace("'s ", " s ", 1).split()
    plain = [fold(one).casefold().replace("'", "") for one in words]
    named, at = _named(plain, vocabulary.people)
    own = _in_their_words(words[at:], plain[at:]) if set(named) - {sender} and "?" not in text else None
    return tuple(Spoken(whom, own) for whom in named) if own else ()


def _named(plain: list[str], people: Mapping[str, str]) -> tuple[tuple[str, ...], int]:
    """The people that a text begins with ("june and arlo"), and the word behind them."""
    found: list[str] = []
    at = 0
    while True:
        here = (
            (_called(" ".join(plain[at : at + length]), people), at + length) for length in range(LONGEST_NAME, 0, -1)
        )
        whom, end = next((one for one in here if one[0]), (None, at))
        if whom is None:
            return (), 0
        found.append(whom)
        if end >= len(plain) or plain[end] not in _data()["picking"]["joint"]:
            return tuple(dict.fromkeys(found)), end
        at = end + 1


def _called(name: str, people: Mapping[str, str]) -> str | None:
    """The handle of the one person of the crew who is called so."""
    known = [one for one, full in people.items() if name in (one.casefold(), *_ways(full))]
    return known[0] if len(known) == 1 else None


def _ways(full: str) -> tuple[str, ...]:
    name = fold(full).casefold()
    return (name, name.split()[0]) if name.strip() else ()


def _in_their_words(words: list[str], plain: list[str]) -> str | None:
    for length in range(LONGEST_VERB, 0, -1):
        own = _verbs().get(" ".join(plain[:length])) if len(plain) >= length else None
        if own is None:
            continue
        after = WORD.match(plain[length]) if len(plain) > length else None
        turned = after is not None and after[0] in _data()["spoken_to"]["words"]
        return None if turned else " ".join([own, *words[length:]])
    return None


def picker(report: Report, told: Told) -> str | None:
    """Who else than the sender picked what a harvest tells of, where one person is named right beside the picking."""
    if report.kind != "harvest":
        return None
    names = report.clause.spans("who")
    picked = report.clause.spans("act.harvest")
    if len({one.value for one in names}) != 1 or not picked or report.clause.has("self"):
        return None
    words, who, act = told.sheet.words, names[0], picked[0]
    joint = told.sheet.before("join.and", who.start)
    if joint is not None and told.sheet.within(joint.start - 1, "who", "self"):
        return None  # "walt and june picked": not hers alone
    between = words[who.end : act.start]
    before = who.end <= act.start and all(one in _data()["picking"]["between"] for one in between)
    behind = act.end < who.start and words[who.start - 1] in _data()["picking"]["by"]
    whom = str(who.value)
    return whom if (before or behind) and whom != told.sender else None
