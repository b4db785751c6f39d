"""What every form may use, and the plain ones: words, numbers, facts inside facts."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from babel import Locale

from core.outcome import Fact
from core.vocabulary import Vocabulary


@dataclass(frozen=True)
class Manner:
    """What a form may use: the language's data, the farm's words, the day it is, and how a nested fact is said."""

    language: str
    data: Mapping[str, Any]
    vocabulary: Vocabulary
    today: date
    say: Callable[[Fact], str]

    def plural(self, n: float) -> str:
        """The language's plural class of a number ("one", "other"), by the CLDR rules of Babel."""
        return Locale.parse(self.language).plural_form(n)

    def term(self, word: str) -> str:
        """A fixed word of ours in this language."""
        return str(self.data["terms"].get(word, word.replace("_", " ")))


def plain(manner: Manner, value: Any) -> str:
    """A text as it is, a number without needless digits."""
    return number(manner, value) if isinstance(value, int | float) else str(value)


def number(_: Manner, value: float) -> str:
    """At most two digits after the point, none where they say nothing."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)


def term(manner: Manner, value: str) -> str:
    """One of our fixed words."""
    return manner.term(value)


def terms(manner: Manner, values: Sequence[str]) -> str:
    """Several of our fixed words."""
    return ", ".join(map(manner.term, values))


def people(_: Manner, names: Sequence[str]) -> str:
    """Names in a row."""
    return ", ".join(names)


def people_or(manner: Manner, names: Sequence[str]) -> str:
    """Names to choose from."""
    return f" {manner.term('or')} ".join(names)


def listing(_: Manner, values: Sequence[str]) -> str:
    """Numbers of a list in a row."""
    return ", ".join(values)


def facts(manner: Manner, values: Sequence[Fact]) -> str:
    """Facts inside a fact, in a row."""
    return ", ".join(map(manner.say, values))


def joined(manner: Manner, values: Sequence[Fact]) -> str:
    """Facts inside a fact, set apart."""
    return "; ".join(map(manner.say, values))


def lines(manner: Manner, values: Sequence[Fact]) -> str:
    """Facts inside a fact, each on its own line."""
    return "\n".join(map(manner.say, values))
