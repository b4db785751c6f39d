"""The command line: `rowcall …`. One file an area; importing it registers its commands."""

from service.cli import alias, crew, house, texts  # noqa: F401  each registers its commands
from service.cli.main import main

__all__ = ["main"]
