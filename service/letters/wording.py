"""What letters say, by language: data files beside this one."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib import resources
from typing import Any


@cache
def _data(language: str) -> dict[str, Any]:
    return tomllib.loads(resources.files(__package__).joinpath(f"{language}.toml").read_text(encoding="utf-8"))


@cache
def languages() -> tuple[str, ...]:
    """The languages letters are written in."""
    files = resources.files(__package__).iterdir()
    return tuple(sorted(file.name.removesuffix(".toml") for file in files if file.name.endswith(".toml")))


@dataclass(frozen=True, slots=True)
class Wording:
    """The sentences of letters in one language; English where there is no file for it."""

    language: str

    def say(self, key: str, **values: Any) -> str:
        """A sentence, filled."""
        return str(self._words[key]).format(**values)

    def day(self, day: date) -> str:
        """A day written out."""
        return self.say("day", month=self._words["months"][day.month - 1], day=day.day, year=day.year)

    def month(self, month: date) -> str:
        """A month and its year, the month with a capital as a heading has it."""
        return f"{str(self._words['months'][month.month - 1]).capitalize()} {month.year}"

    def duration(self, minutes: float) -> str:
        """Hours and minutes."""
        hours, rest = divmod(round(minutes), 60)
        return self.say("duration", hours=hours, minutes=rest)

    @property
    def _words(self) -> dict[str, Any]:
        return _data(self.language if self.language in languages() else "en")
