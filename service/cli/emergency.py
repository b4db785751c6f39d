"""The number to call when somebody is hurt: `rowcall emergency`."""

from __future__ import annotations

import click

from core.emergency import emergency_number
from service.cli.edge import open_books, the_farm
from service.cli.main import main

LONGEST = 20


@main.command()
@click.argument("number", required=False)
@click.option("--usual", is_flag=True, help="Go by the country of the farm's time zone again.")
def emergency(number: str | None, usual: bool) -> None:
    """Shows the number that is named when somebody is hurt, or sets it to NUMBER."""
    if number is not None and not (any(map(str.isdigit, number)) and len(number) <= LONGEST):
        raise click.UsageError(f"{number!r} is no number to call; give digits, like 911 or 112")
    with open_books().write() as session:
        farm = the_farm(session)
        if number or usual:
            farm.emergency = number or ""
        named = emergency_number(farm.timezone, farm.emergency)
    click.echo(f"When somebody is hurt, texts name {named}." if named else "Texts name the local emergency number.")
