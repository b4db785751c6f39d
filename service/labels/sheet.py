"""Labels laid out on sheets of paper, drawn as PDF. Papers and grids are in sheets.toml."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

import segno
from reportlab.lib.units import mm
from reportlab.lib.utils import simpleSplit
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

from service.labels.label import Label

QUIET = 4
"""Modules left blank around a code. Source: ISO/IEC 18004, quiet zone of a QR code."""

PADDING_MM = 2.5
TITLE, HINT = "Helvetica-Bold", "Helvetica"
LARGEST_TITLE_PT, SMALLEST_TITLE_PT, HINT_SHARE = 54, 9, 0.085


@dataclass(frozen=True, slots=True)
class Grid:
    """Where labels lie on a sheet. [mm]"""

    columns: int
    rows: int
    width: float
    height: float
    left: float
    top: float
    gap_x: float
    gap_y: float

    @property
    def on_a_sheet(self) -> int:
        """How many labels a sheet holds."""
        return self.columns * self.rows

    def corner(self, at: int, paper_height: float) -> tuple[float, float]:
        """The lower left corner of the label at a position, from the lower left corner of the sheet. [mm]"""
        row, column = divmod(at, self.columns)
        x = self.left + column * (self.width + self.gap_x)
        y = paper_height - self.top - (row + 1) * self.height - row * self.gap_y
        return x, y


@cache
def _data() -> dict[str, Any]:
    return tomllib.loads(resources.files(__package__).joinpath("sheets.toml").read_text("utf-8"))


def papers() -> tuple[str, ...]:
    """The papers there are grids for."""
    return tuple(_data()["papers"])


def paper_mm(paper: str) -> tuple[float, float]:
    """Width and height of a paper. [mm]

    Raises:
        KeyError: there is no such paper.
    """
    sheet = _data()["papers"][paper]
    return sheet["width"], sheet["height"]


def sizes() -> tuple[str, ...]:
    """The sizes of labels."""
    return tuple(_data()["sizes"])


def grid(paper: str, size: str) -> Grid:
    """The grid of a size of label on a paper.

    Raises:
        KeyError: there is no such paper or size.
    """
    return Grid(**_data()["sizes"][size][paper])


def print_labels(labels: Sequence[Label], paper: str, size: str, out: Path) -> int:
    """Write labels to a PDF file, sheet by sheet.

    Returns:
        The number of sheets.
    """
    laid = grid(paper, size)
    sheet = _data()["papers"][paper]
    canvas = Canvas(str(out), pagesize=(sheet["width"] * mm, sheet["height"] * mm), invariant=1)
    canvas.setTitle("Labels")
    for start in range(0, len(labels), laid.on_a_sheet):
        for at, label in enumerate(labels[start : start + laid.on_a_sheet]):
            _draw(canvas, label, laid, *laid.corner(at, sheet["height"]))
        canvas.showPage()
    canvas.save()
    return -(-len(labels) // laid.on_a_sheet)


def _draw(canvas: Canvas, label: Label, laid: Grid, x: float, y: float) -> None:
    """One label: the code at the left, its full height; title and hint beside it."""
    code = laid.height - 2 * PADDING_MM
    draw_code(canvas, label.address, (x + PADDING_MM) * mm, (y + PADDING_MM) * mm, code * mm)
    canvas.linkURL(label.address, (x * mm, y * mm, (x + laid.width) * mm, (y + laid.height) * mm))
    left = (x + code + 2 * PADDING_MM) * mm
    room = (laid.width - code - 3 * PADDING_MM) * mm
    size = _title_size(label.title, room, laid.height * mm / 3)
    hint = min(max(laid.height * mm * HINT_SHARE, 6), 14)
    lines = simpleSplit(label.hint, HINT, hint, room)
    canvas.setFont(TITLE, size)
    top = (y + laid.height / 2) * mm + (len(lines) * hint * 1.2) / 2
    canvas.drawString(left, top - size * 0.35, label.title)
    canvas.setFont(HINT, hint)
    for n, line in enumerate(lines, 1):
        canvas.drawString(left, top - size * 0.35 - n * hint * 1.2 - hint * 0.4, line)


def _title_size(title: str, room: float, height: float) -> float:
    """The largest size at which a title fits its room. [pt]"""
    size = min(LARGEST_TITLE_PT, height)
    width: float = stringWidth(title, TITLE, size)
    return float(max(SMALLEST_TITLE_PT, min(size, size * room / width)))


def draw_code(canvas: Canvas, address: str, x: float, y: float, side: float) -> None:
    """A QR code as squares, dark modules of a row drawn together so that no hairlines show. [pt]"""
    rows = [list(row) for row in segno.make(address, error="m", micro=False).matrix_iter(border=QUIET)]
    module = side / len(rows)
    for down, row in enumerate(rows):
        start = None
        for at, dark in enumerate([*row, 0]):
            if dark and start is None:
                start = at
            elif not dark and start is not None:
                canvas.rect(x + start * module, y + side - (down + 1) * module, (at - start) * module, module, 0, 1)
                start = None
