"""The day and its people: `rowcall digest` and `people`."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import click
from sqlmodel import select

from core.books.tables import Person
from service.cli.edge import as_day, open_books, the_farm
from service.cli.main import main


@main.command()
@click.option("--date", "day", help="The farm-local day, 2026-05-02. Today, if left out.")
def digest(day: str | None) -> None:
    """Show the morning digest of a day without sending it."""
    from service.rounds import digest as digest_of

    now = datetime.now(UTC)
    with open_books().read() as session:
        farm = the_farm(session)
        wanted = as_day(day) if day else now.astimezone(ZoneInfo(farm.timezone)).date()
        click.echo(digest_of(session, farm.id, wanted, now))


@main.command()
def people() -> None:
    """List the people of the farm: handle, role, language."""
    with open_books().read() as session:
        farm = the_farm(session)
        for one in session.exec(select(Person).where(Person.farm_id == farm.id)):
            click.echo(f"{one.handle:12} {one.role:12} {one.language}  {one.state}")
