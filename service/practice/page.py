"""The practice page as HTML: its template filled, and one text of a thread alone for pages that are already open."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader

from service.practice.thread import Caller, Line

HERE = Path(__file__).parent
TEMPLATES = Environment(loader=FileSystemLoader(HERE), autoescape=True, trim_blocks=True, lstrip_blocks=True)
EXAMPLES: dict[str, dict[str, list[str]]] = tomllib.loads((HERE / "examples.toml").read_text(encoding="utf-8"))

SECURITY = {
    "Content-Security-Policy": (
        "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; object-src 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
}
"""Headers of the page: nothing from elsewhere, no script or style inside it."""


@dataclass(frozen=True, slots=True)
class Box:
    """What stands in the box: the words, the farm-local time chosen ("" is now), and what was wrong with them."""

    text: str = ""
    sent: str = ""
    fault: str = ""


def page_html(farm_name: str, people: list[Caller], chosen: Caller, lines: list[Line], box: Box, **marks: Any) -> str:
    """The whole page, for one person. `marks`: `since` (where news begins) and `text_id` (the next text's own id)."""
    template = TEMPLATES.get_template("page.html")
    offered = list(enumerate(examples(chosen)))
    return template.render(
        farm_name=farm_name, people=people, chosen=chosen, lines=lines, box=box, examples=offered, **marks
    )


def line_html(line: Line, language: str) -> str:
    """One text of a thread, as the page writes it."""
    macro = TEMPLATES.get_template("line.html").module.line  # type: ignore[attr-defined]
    return str(macro(line, language))


def examples(who: Caller) -> list[str]:
    """Texts that somebody like this might send, in their language."""
    said = EXAMPLES.get(who.language) or EXAMPLES["en"]
    return said["stranger"] if who.role == "stranger" else said["crew"] + said.get(who.role, [])
