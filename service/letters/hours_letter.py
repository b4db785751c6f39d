"""The service-hours letter: one page with a table by month and a line to sign on, as PDF.

Its libraries are slow to load: whoever writes no letter does not import this.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

import matplotlib
from reportlab.lib import colors
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import registerFont
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import Paragraph, SimpleDocTemplate, Spacer, Table

from core.hours import WorkDay, by_month
from service.letters.wording import Wording

MARGIN_MM = 25.0
NAMES_COLUMN_MM, FIGURES_COLUMN_MM = 80.0, 35.0


@dataclass(frozen=True, slots=True)
class Letter:
    """What a letter says: whose hours at which farm from the first to the last day, made on `today`."""

    farm: str
    name: str
    minor: bool
    first: date
    last: date
    days: Sequence[WorkDay]
    today: date


def pdf(letter: Letter, language: str, *, paper: str = "letter") -> bytes:
    """The letter as a PDF file.

    Args:
        letter: what it says.
        language: "en" or "es"; another is written in English.
        paper: "letter" or "a4".
    """
    words = Wording(language)
    file = io.BytesIO()
    page = SimpleDocTemplate(
        file,
        pagesize=A4 if paper == "a4" else LETTER,
        title=words.say("title"),
        author=letter.farm,
        lang=words.language,
        **{f"{side}Margin": MARGIN_MM * mm for side in ("left", "right", "top", "bottom")},
    )
    page.build(_story(letter, words))
    return file.getvalue()


def _story(letter: Letter, words: Wording) -> list[Any]:

    style, head = _styles()
    minutes = sum(day.minutes for day in letter.days)
    waiting = sum(day.minutes for day in letter.days if day.waits)
    values = {
        "name": _text(letter.name),
        "farm": _text(letter.farm),
        "first": words.day(letter.first),
        "last": words.day(letter.last),
    }
    said = words.say("body", hours=words.duration(minutes), days=len(letter.days), **values)
    parts: list[Any] = [Paragraph(_text(letter.farm), style), Spacer(1, 24), Paragraph(words.say("title"), head)]
    parts += [Spacer(1, 12), Paragraph(words.say("given"), style)]
    if not letter.days:
        return [*parts, Paragraph(words.say("nothing", **values), style), *_foot(letter, words, style)]
    parts += [Paragraph(said, style), Spacer(1, 12), _table(letter, words), Spacer(1, 12)]
    parts.append(Paragraph(words.say("how"), style))
    if waiting:
        parts.append(Paragraph(words.say("waiting", hours=words.duration(waiting)), style))
    return [*parts, *_foot(letter, words, style)]


def _foot(letter: Letter, words: Wording, style: Any) -> list[Any]:
    """The line to sign on, and whom the letter may be given to."""
    rows = [["", "", ""], [words.say(one) for one in ("signature", "signer", "date")]]
    line = Table(rows, colWidths=[62 * mm, 62 * mm, 36 * mm], rowHeights=[30, 16])
    under = [("LINEABOVE", (column, 1), (column, 1), 0.8, colors.black) for column in range(3)]
    line.setStyle([*under, ("FONT", (0, 0), (-1, -1), _font(), 9), ("LEFTPADDING", (0, 0), (-1, -1), 2)])
    parts: list[Any] = [
        Spacer(1, 28),
        line,
        Spacer(1, 16),
        Paragraph(words.say("made", today=words.day(letter.today)), style),
    ]
    if letter.minor:
        parts.append(Paragraph(words.say("minor", name=_text(letter.name)), style))
    return parts


def _table(letter: Letter, words: Wording) -> Any:
    """A row a month: days and hours."""
    months = by_month(letter.days)
    days = {month: sum(day.on.replace(day=1) == month for day in letter.days) for month in months}
    rows = [[words.say("month"), words.say("days"), words.say("hours")]]
    rows += [[words.month(month), str(days[month]), words.duration(minutes)] for month, minutes in months.items()]
    rows.append([words.say("total"), str(len(letter.days)), words.duration(sum(months.values()))])
    table = Table(rows, colWidths=[NAMES_COLUMN_MM * mm, *[FIGURES_COLUMN_MM * mm] * 2], repeatRows=1, hAlign="LEFT")
    table.setStyle(
        [
            ("FONT", (0, 0), (-1, -1), _font(), 10),
            ("FONT", (0, 0), (-1, 0), _font(bold=True), 10),
            ("FONT", (0, -1), (-1, -1), _font(bold=True), 10),
            ("ALIGN", (1, 0), (-1, -1), "RIGHT"),
            ("LINEBELOW", (0, 0), (-1, 0), 0.8, colors.black),
            ("LINEABOVE", (0, -1), (-1, -1), 0.8, colors.black),
        ]
    )
    return table


def _styles() -> tuple[Any, Any]:

    text = ParagraphStyle("text", fontName=_font(), fontSize=11, leading=16, spaceAfter=6)
    return text, ParagraphStyle("title", parent=text, fontName=_font(bold=True), fontSize=18, leading=24)


def _text(words: str) -> str:
    """Names are text, whatever letters are in them: the layout reads markup."""
    return escape(words)


@cache
def _font(*, bold: bool = False) -> str:
    """A font with the letters of most names, registered once: matplotlib brings it along."""
    name = "DejaVuSans-Bold" if bold else "DejaVuSans"
    file = Path(matplotlib.get_data_path()) / "fonts" / "ttf" / f"{name}.ttf"
    registerFont(TTFont(name, str(file)))
    return name
