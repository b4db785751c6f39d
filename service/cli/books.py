"""Moving to another engine: `rowcall move-books`."""

from __future__ import annotations

from pathlib import Path

import click
from sqlalchemy import make_url
from sqlalchemy.exc import ArgumentError

from service.cli.main import main


@main.command("move-books")
@click.argument("source")
@click.argument("target")
def move_books(source: str, target: str) -> None:
    """Copy all books from SOURCE into the empty database TARGET and verify them there.

    SOURCE is a SQLite file or a SQLAlchemy address, TARGET an address: postgresql+psycopg://user@host/name. Stop the
    service first: texts that come in meanwhile are refused and come again.
    """
    import service.tables  # noqa: F401  the service's own tables move too
    from core.books.move import move
    from core.books.store import Books

    books = Books(_address(source)), Books(_address(target))
    try:
        rows = move(*books, progress=lambda table, copied: click.echo(f"{table:24} {copied:9,} rows"))
    finally:
        for one in books:
            one.close()
    click.echo(f"{rows:,} rows are copied and verified. Set ROWCALL_DATABASE to the new address and start the service.")


def _address(given: str) -> str:
    """An address as it is, or that of a SQLite file that is there."""
    if "://" not in given:
        given = f"sqlite:///{given}"
    try:
        url = make_url(given)
    except ArgumentError:
        raise click.UsageError(f"{given!r} is no address; write it like postgresql+psycopg://user@host/name") from None
    if url.get_backend_name() == "sqlite" and not Path(url.database or "").is_file():
        raise click.UsageError(f"there is no file {url.database}")
    return given
