"""A text cut into tokens: folded words, numbers and punctuation, each with its place in the text as typed."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

LONGEST = 2000
"""Characters that are read; what follows is no report a person types."""

_WRITTEN_OUT = {"½": ".5", "¼": ".25", "¾": ".75", "’": "'", "‘": "'", "`": "'", "´": "'", "…": "\u2026"}
_HALF = re.compile(r"(?<![\d.])\.(?=\d)")
_TOKEN = re.compile(
    r"""
      (?P<keep>co2|h2o)
    | (?P<number>\d{1,2}:\d{2}(?!\d)|\d+(?:[.,]\d+)*)
    | (?P<word>[a-z]+(?:'[a-z]+)*)
    | (?P<mark>\.{2,}|\u2026|[^\w\s])
    | (?P<other>[^\s])
    """,
    re.VERBOSE,
)
_LISTED = re.compile(r"\d{1,2}(?:,\d{1,2})+")
_ABBREVIATIONS = re.compile(
    r"\b([ap])\.\s?m\b\.?"
    r"|\b(approx|no|nutr|twrs?|temp|hum|lvl|sat|sun|mon|tues?|wed|thurs?|fri)\.(?=\s+[a-z0-9])"
    r"|\b(pct|lbs?|oz|gal|pkgs?|doz|dz|ea|bns?)\.(?=\s*[,+]|\s+(?:[0-9]|(?-i:[a-z])))"
    r"|\b(hrs?|mins?)\.(?=\s+(?:[0-9]|(?:of|and|today|yesterday|on|in|for|at|from|this|here|late|total)\b))",
    re.IGNORECASE,
)
"""Short forms whose dot ends no sentence: always, before a small letter, or before what follows on a time."""


@dataclass(frozen=True, slots=True)
class Token:
    """`text` is folded: lower case, no accents, no apostrophes. `glued` means that no space stands before it."""

    text: str
    kind: str
    start: int
    end: int
    glued: bool


def fold(text: str) -> str:
    """Lower case without accents, as long as the text itself, so that places in it stay what they are."""
    return "".join(map(_fold_char, text))


@lru_cache(maxsize=4096)
def _fold_char(char: str) -> str:
    if char in "\u2019\u2018`\u00b4\u0092":
        return "'"
    if char in "\u2013\u2014\u2212":
        return "-"
    plain = unicodedata.normalize("NFKD", char.lower())
    return plain[0] if plain else char


def typed(text: str) -> str:
    """The text with what no keyboard needs written out: halves, curly quotes, invisible signs."""
    text = text[:LONGEST]
    for sign, plain in _WRITTEN_OUT.items():
        if sign in text:
            text = text.replace(sign, plain)
    return _HALF.sub("0.", text) if "." in text else text


def tokens(text: str) -> list[Token]:
    """The tokens of a text that went through `typed`."""
    folded = fold(_ABBREVIATIONS.sub(_undotted, text) if "." in text else text)
    found: list[Token] = []
    for match in _TOKEN.finditer(folded):
        kind = match.lastgroup or "other"
        kind = "word" if kind == "keep" else kind
        glued = bool(found) and found[-1].end == match.start()
        text = match.group()
        if glued and _LISTED.fullmatch(text) and len(found[-1].text) == 1 and found[-1].kind == "word":
            found.extend(_one_by_one(text, match.start()))
            continue
        found.append(Token(text.replace("'", "") if kind == "word" else text, kind, match.start(), match.end(), glued))
    return found


def _one_by_one(text: str, start: int) -> list[Token]:
    """ "1,2,3" behind a letter: the numbers of a row, each by itself."""
    kinds = {True: "number", False: "mark"}
    return [
        Token(one[0], kinds[one[0].isdigit()], start + one.start(), start + one.end(), glued=True)
        for one in re.finditer(r"\d+|,", text)
    ]


def _undotted(match: re.Match[str]) -> str:
    """An abbreviation without its dots, padded to the same length."""
    short = f"{match[1]}m" if match[1] else match[0][:-1]
    return short.ljust(len(match[0]))
