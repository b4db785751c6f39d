"""Making, loading, running and checking: `rowcall migrate`, `demo`, `serve`, `verify`."""

from __future__ import annotations

import sys
from datetime import UTC, datetime

import click
from sqlmodel import select

from core.books.ledger import Ledger
from core.books.tables import Farm
from service.cli.edge import bring_up, open_books, throw_away
from service.cli.main import main
from service.settings import settings


@main.command()
def migrate() -> None:
    """Bring the database to the present shape, making it if it is not there."""
    bring_up(open_books())
    click.echo("The books are up to date.")


@main.command()
@click.option("--fresh", is_flag=True, help="Throw the books away first. Only for SQLite.")
def demo(fresh: bool) -> None:
    """Load the invented Tern Street Farm, laid around today, unless it is there already."""
    from service.demo import load

    if fresh:
        throw_away()
    books = open_books()
    bring_up(books)
    with books.write() as session:
        if session.exec(select(Farm)).first():
            click.echo("The farm is there already; its books are kept.")
            return
        farm = load(session, datetime.now(UTC))
        click.echo(f"{farm.name} is loaded.")


@main.command()
def serve() -> None:
    """Run the service with its clockwork."""
    from service.app import create_app
    from service.log import configure
    from service.server import run

    configure(settings().log_level)
    run(create_app(settings()), host=settings().host, port=settings().port, log_config=None, access_log=False)


@main.command()
def verify() -> None:
    """Check that the tables say what the journal says, for every farm."""
    differences = []
    with open_books().read() as session:
        farms = session.exec(select(Farm)).all()
        for farm in farms:
            differences += [f"{farm.slug}: {one}" for one in Ledger(session, farm.id).differences()]
    for one in differences:
        click.echo(one, err=True)
    if differences:
        sys.exit(f"{len(differences)} differences between tables and journal.")
    click.echo(f"The tables of {len(farms)} farm(s) say what the journal says.")
