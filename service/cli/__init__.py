"""The command line: `rowcall …`. One file an area; importing it registers its commands."""

from service.cli import (  # noqa: F401  each registers its commands
    alias,
    books,
    crew,
    dosing,
    emergency,
    growing,
    hours,
    house,
    keeping,
    plan,
    poster,
    readings,
    roster,
    simulate,
    texts,
)
from service.cli.main import main

__all__ = ["main"]
