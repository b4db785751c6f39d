"""Templates into HTML, every value escaped."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

TEMPLATES = Environment(
    loader=FileSystemLoader(Path(__file__).parent / "templates"),
    autoescape=True,
    trim_blocks=True,
    lstrip_blocks=True,
    undefined=StrictUndefined,
)


def filled(template: str, **values: Any) -> str:
    """A template with its values."""
    return TEMPLATES.get_template(template).render(**values)
