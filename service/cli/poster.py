"""The poster that asks people to join: `rowcall poster`."""

from __future__ import annotations

from pathlib import Path

import click

from core.books.vocabulary import vocabulary
from service.cli.edge import open_books, the_farm
from service.cli.main import main
from service.labels import papers
from service.posters import print_poster


@main.command()
@click.argument("out", type=click.Path(dir_okay=False, path_type=Path))
@click.option("--paper", type=click.Choice(papers()), default="letter", show_default=True)
def poster(out: Path, paper: str) -> None:
    """Write a poster to OUT.pdf whose code opens a text that asks to join, in every language of the farm."""
    with open_books().read() as session:
        farm = the_farm(session)
        print_poster(vocabulary(session, farm.id), farm.phone, paper, out)
    click.echo(f"A poster for {farm.name} in {out}.")
