"""One page to hang up: what it is about, how to join, the wording of consent, and a code to scan, drawn as PDF."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from reportlab.lib.units import mm
from reportlab.lib.utils import simpleSplit
from reportlab.pdfgen.canvas import Canvas

from core.outcome import fact
from core.vocabulary import Vocabulary
from service.labels.label import text_address, written
from service.labels.sheet import draw_code, paper_mm
from service.words import Speaker

MARGIN_MM, CODE_MM, GAP_MM = 18.0, 62.0, 8.0
PLAIN, BOLD, SLANTED = "Helvetica", "Helvetica-Bold", "Helvetica-Oblique"

JOIN = "JOIN "
"""What the code begins to write; a name is all that is missing."""


@dataclass(frozen=True, slots=True)
class Line:
    """A paragraph: its text, its font and size. [pt]"""

    text: str
    font: str
    size: float


@cache
def _wording(language: str) -> Mapping[str, Any]:
    return tomllib.loads(resources.files(__package__).joinpath(f"{language}.toml").read_text("utf-8"))


def print_poster(words: Vocabulary, phone: str, paper: str, out: Path) -> None:
    """Write the poster of a farm: the code on top, then each of its languages below the other.

    Args:
        words: of the farm; its languages are those of the poster.
        phone: the number people text (E.164).
        paper: one of `service.labels.papers()`.
        out: the PDF file.

    Raises:
        KeyError: there is no such paper.
    """
    width, height = paper_mm(paper)
    canvas = Canvas(str(out), pagesize=(width * mm, height * mm), invariant=1)
    canvas.setTitle(words.farm)
    top = (height - MARGIN_MM - CODE_MM) * mm
    address = text_address(phone, JOIN)
    draw_code(canvas, address, MARGIN_MM * mm, top, CODE_MM * mm)
    canvas.linkURL(address, (MARGIN_MM * mm, top, (MARGIN_MM + CODE_MM) * mm, top + CODE_MM * mm))
    beside, room = (MARGIN_MM + CODE_MM + GAP_MM) * mm, (width - 2 * MARGIN_MM - CODE_MM - GAP_MM) * mm
    _draw(canvas, _head(words, phone), beside, top + (CODE_MM - GAP_MM) * mm, room)
    down = top - GAP_MM * mm
    for language in words.languages:
        lines = _paragraphs(language, words, phone)
        down = _draw(canvas, lines, MARGIN_MM * mm, down, (width - 2 * MARGIN_MM) * mm) - GAP_MM * mm
    canvas.showPage()
    canvas.save()


def _head(words: Vocabulary, phone: str) -> Iterator[Line]:
    yield Line(words.farm, BOLD, 28)
    yield Line(written(phone), BOLD, 22)


def _paragraphs(language: str, words: Vocabulary, phone: str) -> Iterator[Line]:
    """A language's part; consent is asked in the very words of the texts."""
    said = _wording(language)
    yield Line(said["title"], BOLD, 20)
    for n, step in enumerate(said["steps"], 1):
        yield Line(f"{n}. {step.format(phone=written(phone))}", PLAIN, 13)
    yield Line(said["minors"], PLAIN, 11)
    yield Line(said["consent"], PLAIN, 11)
    yield Line(Speaker(language, words, date.min).text([fact("ask_consent", farm=words.farm)]), SLANTED, 11)


def _draw(canvas: Canvas, lines: Iterator[Line], x: float, y: float, room: float) -> float:
    """Paragraphs below each other from a height down; where they end. [pt]"""
    for line in lines:
        canvas.setFont(line.font, line.size)
        for part in simpleSplit(line.text, line.font, line.size, room):
            y -= line.size * 1.25
            canvas.drawString(x, y, part)
        y -= line.size * 0.4
    return y
