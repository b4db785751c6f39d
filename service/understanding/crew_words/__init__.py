"""What people say of the crew itself, in a few fixed shapes: one data file a language, read into patterns once.

{who} is somebody's name, {skill} a training, {role} a role, {n} a number with {unit}, {when} a day, {phone} a number.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

DATA = Path(__file__).parent

SLOTS = {
    "who": r"(?P<who>[a-z][a-z0-9-]*(?: [a-z][a-z0-9-]*)?)",
    "n": r"(?P<n>\d{1,3}|[a-z]+)",
    "when": r"(?P<when>.+)",
    "phone": r"(?P<phone>[+(]?[\d (.)-]{7,})",
}


@cache
def languages() -> tuple[str, ...]:
    """The languages there is a data file for."""
    return tuple(sorted(path.stem for path in DATA.glob("*.toml")))


@cache
def data(language: str) -> Mapping[str, Any]:
    """The data file of one language."""
    return tomllib.loads((DATA / f"{language}.toml").read_text("utf-8"))


@cache
def patterns() -> tuple[tuple[str, str, re.Pattern[str]], ...]:
    """Every shape in every language: what it says, the language, its pattern; those with more fixed letters first."""
    shapes = [
        (kind, language, shape)
        for language in languages()
        for kind, known in data(language)["said"].items()
        for shape in known
    ]
    shapes.sort(key=lambda one: -len(re.sub(r"\{\w+\}", "", one[2])))
    return tuple((kind, language, _compiled(language, shape)) for kind, language, shape in shapes)


def _compiled(language: str, shape: str) -> re.Pattern[str]:
    parts = re.split(r"\{(\w+)\}", shape)
    return re.compile("".join(_slot(language, one) if at % 2 else re.escape(one) for at, one in enumerate(parts)))


def _slot(language: str, name: str) -> str:
    if name in SLOTS:
        return SLOTS[name]
    words = sorted((word for known in data(language)[name].values() for word in known), key=len, reverse=True)
    return f"(?P<{name}>{'|'.join(map(re.escape, words))})"


def meaning(language: str, family: str, word: str) -> str:
    """What a word of a family (skill, role, unit) means; StopIteration where it is none."""
    known: Mapping[str, list[str]] = data(language)[family]
    return next(value for value, words in known.items() if word in words)
