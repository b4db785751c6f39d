"""Facts into sentences, in a person's language, from one folder of data files a language.

`phrasing.toml` holds how amounts, days and things are written and what people say; every other file holds sentences,
one area each. A sentence is a template: {name} is a value, {name:form} a value in one of the forms of
`service.words.forms`, and a part in [square brackets] is left out when a value inside it is missing. There is no other
logic in the files.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from datetime import date
from functools import lru_cache
from importlib import resources
from string import Formatter
from typing import Any

from core.outcome import Fact
from core.vocabulary import Vocabulary
from service.segments import fold
from service.words.forms import FORMS, Manner

PHRASING = "phrasing.toml"

OPTIONAL = re.compile(r"\[([^\[\]]*)\]")


class MissingSentence(KeyError):
    """A fact has no sentence in a language file; names the file and the fact."""


@lru_cache
def language_data(language: str) -> dict[str, Any]:
    """How a language writes amounts, days and things, and what people say in it.

    Raises:
        MissingSentence: there is no such language.
    """
    file = resources.files(__package__).joinpath(language, PHRASING)
    if not file.is_file():
        raise MissingSentence(f"no language file {language}/{PHRASING}")
    return tomllib.loads(file.read_text(encoding="utf-8"))


@lru_cache
def languages() -> tuple[str, ...]:
    """The languages there are folders for."""
    folders = resources.files(__package__).iterdir()
    return tuple(sorted(folder.name for folder in folders if folder.joinpath(PHRASING).is_file()))


@lru_cache
def heard(what: str) -> tuple[str, ...]:
    """What people say of a kind ("polite", "greet"), in any language."""
    return tuple(phrase for language in languages() for phrase in language_data(language)["heard"][what])


@lru_cache
def sentences(language: str) -> dict[str, Any]:
    """Every sentence of a language by the kind of fact it says."""
    files = resources.files(__package__).joinpath(language).iterdir()
    areas = [file for file in files if file.name.endswith(".toml") and file.name != PHRASING]
    return {kind: said for area in areas for kind, said in tomllib.loads(area.read_text(encoding="utf-8")).items()}


class Speaker:
    """Says facts to one person: in `language`, about one farm, on the farm-local day `today`."""

    def __init__(self, language: str, vocabulary: Vocabulary, today: date) -> None:
        known = language if language in languages() else "en"
        self.sentences = sentences(known)
        self.manner = Manner(known, language_data(known), vocabulary, today, self.say)
        self._formatter = _Forms(self.manner)

    def knows(self, kind: str) -> bool:
        """Whether there is a sentence for a kind of fact."""
        return kind in self.sentences

    def say(self, fact: Fact) -> str:
        """One fact as a sentence.

        Raises:
            MissingSentence: the language file has none for its kind.
        """
        template = self.sentences.get(fact.kind)
        if template is None:
            raise MissingSentence(f"{self.manner.language} has no sentence for {fact.kind!r}")
        values = dict(fact.values)
        if isinstance(template, dict):
            template = template[self.manner.plural(values["n"])]
        kept = OPTIONAL.sub(lambda part: part[1] if self._has_all(part[1], values) else "", template)
        return self._formatter.vformat(kept, (), values)

    def text(self, facts: Iterable[Fact], joint: str = " ") -> str:
        """Several facts as one text, folded to the plain alphabet of phones."""
        return fold(joint.join(filter(None, map(self.say, facts))))

    @staticmethod
    def _has_all(part: str, values: dict[str, Any]) -> bool:
        names = [name for _, name, _, _ in Formatter().parse(part) if name]
        return all(values.get(name) not in (None, "", (), []) for name in names)


class _Forms(Formatter):
    def __init__(self, manner: Manner) -> None:
        self.manner = manner

    def format_field(self, value: Any, form: str) -> str:
        return FORMS[form or "plain"](self.manner, value)
