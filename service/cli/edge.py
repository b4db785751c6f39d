"""What the commands share: the books that are meant, the one farm in them, and times as they are typed."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import click
from sqlmodel import Session, select

from core.acts import Scene
from core.books.ledger import Ledger, Told
from core.books.store import Books
from core.books.tables import Farm
from core.books.vocabulary import vocabulary
from service.settings import settings


def own_scene(session: Session) -> Scene:
    """What the farm does by itself, on an operator's word."""
    farm, now = the_farm(session), datetime.now(UTC)
    return Scene(Ledger(session, farm.id), vocabulary(session, farm.id), Told(None, now, now))


def open_books() -> Books:
    """The books that the settings name."""
    url = settings().database
    if url.startswith("sqlite:///"):
        Path(url.removeprefix("sqlite:///")).parent.mkdir(parents=True, exist_ok=True)
    return Books(url)


def bring_up(books: Books) -> None:
    """Bring the books to the present shape."""
    import service.tables  # noqa: F401  the service's own tables belong to the same line of revisions
    from core.books.migrate import migrate as run

    run(books)


def throw_away() -> None:
    """Delete the SQLite file that the settings name."""
    url = settings().database
    if not url.startswith("sqlite:///"):
        raise click.UsageError("--fresh throws away SQLite files only; empty another database by its own tools.")
    file = Path(url.removeprefix("sqlite:///"))
    for one in (file, file.with_name(file.name + "-wal"), file.with_name(file.name + "-shm")):
        one.unlink(missing_ok=True)


def the_farm(session: Session) -> Farm:
    """The farm in the books; an error in words where there is none."""
    farm = session.exec(select(Farm)).first()
    if farm is None:
        raise click.ClickException("There is no farm in the books yet: rowcall demo loads the invented one.")
    return farm


def as_instant(at: str, zone: ZoneInfo) -> datetime:
    """A time as it is typed; farm-local where it names no zone."""
    try:
        moment = datetime.fromisoformat(at)
    except ValueError:
        raise click.UsageError(f"--at {at!r} is no time; write it like 2026-05-02T09:10") from None
    return moment if moment.tzinfo else moment.replace(tzinfo=zone)


def as_day(day: str, option: str = "--date") -> date:
    """A day as it is typed."""
    try:
        return date.fromisoformat(day)
    except ValueError:
        raise click.UsageError(f"{option} {day!r} is no day; write it like 2026-05-02") from None
