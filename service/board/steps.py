"""The steps of a sum as the page shows them, headings and names in the reader's language."""

from __future__ import annotations

import re
from dataclasses import dataclass

from core.dosing.working import Step
from service.board.wording import PageSpeaker


@dataclass(frozen=True, slots=True)
class SaidStep:
    """One step in words: `numbers` are (name, figure) as they stand in the formula."""

    what: str
    formula: str
    numbers: tuple[tuple[str, str], ...]
    result: str
    source: str


def said(step: Step, speaker: PageSpeaker) -> SaidStep:
    """A step for a reader; what has no translation stays as the core writes it."""
    key = slug(step.what)
    names = {one: speaker.either(f"name_{slug(one)}", "as_it_stands", words=one) for one in step.numbers}
    formula = speaker.either(f"formula_{key}", "as_it_stands", words=step.formula)
    for one, name in sorted(names.items(), key=lambda pair: -len(pair[0])):
        formula = re.sub(rf"(?<![\w/]){re.escape(one)}(?![\w/])", name, formula)
    return SaidStep(
        speaker.either(f"step_{key}", "as_it_stands", words=step.what),
        formula.replace(" x ", " × "),
        tuple((names[one], figure(value)) for one, value in step.numbers.items()),
        f"{figure(step.result)} {step.unit}".strip(),
        step.source,
    )


def slug(words: str) -> str:
    """Words as a key of a data file."""
    return re.sub(r"\W+", "_", words.casefold()).strip("_")


def figure(value: float) -> str:
    """A number to four significant digits; a large one whole."""
    return f"{value:.0f}" if abs(value) >= 1e4 else f"{value:.4g}"
