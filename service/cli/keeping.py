"""Keeping and letting go: `rowcall backup`, `restore`, `export`, `erase`; and `trace`, the way of one text."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import click
from sqlmodel import Session, select

from core.books.ledger import Told
from core.books.tables import Farm, Person
from service.cli.edge import open_books, the_farm
from service.cli.main import main


@contextmanager
def _in_words() -> Iterator[None]:
    """A fault of keeping, as the command line says it."""
    from service.keeping.backup import BackupFault
    from service.keeping.export import FolderTaken

    try:
        yield
    except (BackupFault, FolderTaken) as fault:
        raise click.ClickException(f"{fault}.") from None


@main.command()
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
def backup(file: Path) -> None:
    """Write all books into FILE while the service runs, and check that it opens."""
    from service.keeping.backup import back_up

    with _in_words():
        farms = back_up(open_books(), file)
    click.echo(
        f"{file} holds the books of {farms} farm(s); it opens and verifies. Keep it somewhere else, locked away."
    )


@main.command()
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False, exists=True))
@click.option("--replace", is_flag=True, help="Throw away the farms that are in the books now.")
def restore(file: Path, replace: bool) -> None:
    """Put the backup FILE into the books. Stop the service first."""
    from service.keeping.backup import restore as put_back

    if replace:
        click.confirm("The books as they are now will be gone. Go on?", abort=True)
    with _in_words():
        farms = put_back(file, open_books(), replace=replace)
    click.echo(f"The books of {farms} farm(s) are as they were in {file}.")


@main.command()
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
def export(folder: Path) -> None:
    """Write every table into FOLDER, as CSV for people and JSON for programs."""
    from service.keeping.export import export as write_out

    with _in_words():
        rows = write_out(open_books(), folder)
    click.echo(f"{sum(rows.values())} rows of {len(rows)} tables are in {folder}. They name people: lock them away.")


@main.command()
@click.argument("person")
@click.option("--yes", is_flag=True, help="Do not ask.")
def erase(person: str, yes: bool) -> None:
    """Remove PERSON (a handle or a number) for good; what they did stays counted."""
    from service.keeping.erase import erase_person, scrub_file

    books = open_books()
    with books.read() as session:
        name = _the_person(session, the_farm(session), person).name
    if not yes:
        click.confirm(f"Erase {name}: name, number, words of their texts? This cannot be taken back", abort=True)
    now = datetime.now(UTC)
    with books.write() as session:
        farm = the_farm(session)
        erase_person(session, farm, _the_person(session, farm, person), Told(None, now, now))
    scrub_file(books)
    click.echo(
        "Erased. Backups and exports made before still hold them, and so does the phone carrier's own log: "
        "delete them there too."
    )


def _the_person(session: Session, farm: Farm, said: str) -> Person:
    known = (Person.handle == said) | (Person.phone == said)
    found = session.exec(select(Person).where(Person.farm_id == farm.id, known)).first()
    if found is None:
        raise click.UsageError(f"nobody is called {said!r}; `rowcall people` lists the handles")
    return found


@main.command()
@click.argument("message")
def trace(message: str) -> None:
    """Show the way of one text through the house: MESSAGE is the carrier's id or ours."""
    from service.trace import trace as steps

    with open_books().read() as session:
        found = steps(session, message)
    if not found:
        raise click.ClickException(f"there is no text {message!r} in the books.")
    for one in found:
        click.echo(f"{one.at:%Y-%m-%d %H:%M:%S}  {one.what:9} {one.about}")
