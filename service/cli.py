"""The command line: `rowcall …`."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any, TextIO
from uuid import uuid4
from zoneinfo import ZoneInfo

import click
from sqlalchemy.exc import OperationalError
from sqlmodel import Session, select

from core.acts import Scene
from core.books.ledger import Ledger, Told
from core.books.store import Books
from core.books.tables import Farm, Person
from core.books.vocabulary import vocabulary
from core.errors import Refused, RowcallError
from core.outcome import Outcome
from service.settings import settings


class Commands(click.Group):
    """The commands; what goes wrong with the books is said in words."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command."""
        try:
            return super().invoke(ctx)
        except RowcallError as error:
            raise click.ClickException(str(error)) from None
        except OperationalError as error:
            raise click.ClickException(
                f"The books cannot be opened or are not up to date ({type(error.orig).__name__}: {error.orig}). "
                "Check ROWCALL_DATABASE; `rowcall migrate` makes or updates them."
            ) from None


@click.group(cls=Commands)
def main() -> None:
    """Rowcall: one phone number for a community container farm."""


@main.command()
def migrate() -> None:
    """Bring the database to the present shape, making it if it is not there."""
    _migrate(_books())
    click.echo("The books are up to date.")


@main.command()
@click.option("--fresh", is_flag=True, help="Throw the books away first. Only for SQLite.")
def demo(fresh: bool) -> None:
    """Load the invented Tern Street Farm, laid around today, unless it is there already."""
    from service.demo import load

    if fresh:
        _throw_away()
    books = _books()
    _migrate(books)
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
@click.argument("text")
@click.option("--as", "handle", required=True, help="Who texts: a handle of the farm (walt) or a number.")
@click.option("--at", "at", help="When, farm-local: 2026-05-02T09:10. Now, if left out.")
def say(text: str, handle: str, at: str | None) -> None:
    """Text the farm as one of its people and print what it answers."""
    from service import inbox
    from service.conversation import Conversation
    from service.practice.texting import PracticeText, WrongText, hand_over

    books, conversation = _books(), Conversation()
    with books.read() as session:
        zone = ZoneInfo(_farm(session).timezone)
    now = _local(at, zone) if at else datetime.now(UTC)
    one = PracticeText.model_validate({"from": handle, "text": text, "sent": now.isoformat()})
    try:
        answered = hand_over(
            books, one, str(uuid4()), now, lambda farm, sent: inbox.finish(books, farm, sent, conversation, now)
        )
    except WrongText as error:
        raise click.UsageError(str(error)) from None
    for reply in answered.replies:
        click.echo(reply.text)
    if not answered.replies:
        click.echo("(no answer)", err=True)


@main.command()
@click.argument("text", required=False)
@click.option(
    "--lines", "lines", type=click.File("r", encoding="utf-8"), help="JSON lines to read instead of one text."
)
@click.option("--sender", default="walt", show_default=True, help="Whose text it is.")
@click.option("--sent", help="When it was sent, farm-local or with an offset. Now, if left out.")
@click.option("--context", "context", default="null", help="What the farm knows, as JSON.")
def understand(text: str | None, lines: TextIO | None, sender: str, sent: str | None, context: str) -> None:
    """Print how a text is read, with the demo farm's words and no database."""
    from service.demo import demo_vocabulary
    from service.understanding.lines import read_lines

    words = demo_vocabulary()
    if lines is None:
        if text is None:
            raise click.UsageError("give a text, or a file of JSON lines by --lines")
        one = {"id": "1", "text": text, "sender": sender, "sent": sent or datetime.now(words.zone).isoformat()}
        try:
            one["context"] = json.loads(context)
        except json.JSONDecodeError as error:
            raise click.UsageError(f"--context is not JSON: {error}") from None
        lines = [json.dumps(one)]  # type: ignore[assignment]
    unread = 0
    for line in read_lines(lines or (), words):
        click.echo(line)
        unread += "error" in json.loads(line)
    if unread:
        raise SystemExit(1)


@main.command()
@click.option("--date", "day", help="The farm-local day, 2026-05-02. Today, if left out.")
def digest(day: str | None) -> None:
    """Show the morning digest of a day without sending it."""
    from service.rounds import digest as digest_of

    now = datetime.now(UTC)
    with _books().read() as session:
        farm = _farm(session)
        wanted = _day(day) if day else now.astimezone(ZoneInfo(farm.timezone)).date()
        click.echo(digest_of(session, farm.id, wanted, now))


@main.command()
def verify() -> None:
    """Check that the tables say what the journal says, for every farm."""
    differences = []
    with _books().read() as session:
        farms = session.exec(select(Farm)).all()
        for farm in farms:
            differences += [f"{farm.slug}: {one}" for one in Ledger(session, farm.id).differences()]
    for one in differences:
        click.echo(one, err=True)
    if differences:
        sys.exit(f"{len(differences)} differences between tables and journal.")
    click.echo(f"The tables of {len(farms)} farm(s) say what the journal says.")


@main.command()
def people() -> None:
    """List the people of the farm: handle, role, language."""
    with _books().read() as session:
        farm = _farm(session)
        for one in session.exec(select(Person).where(Person.farm_id == farm.id)):
            click.echo(f"{one.handle:12} {one.role:12} {one.language}  {one.state}")


ALIAS_FAULTS = {
    "no_such_thing": "nothing is called",
    "name_taken": "there is a thing already called",
    "name_unfit": "a name has three letters or more, and only letters:",
}


@main.group()
def alias() -> None:
    """What the crew calls things besides their names."""


@alias.command("add")
@click.argument("phrase")
@click.argument("meaning")
def alias_add(phrase: str, meaning: str) -> None:
    """From now on PHRASE ("the jungle") is the thing that MEANING ("mint") names."""
    from core.acts.naming import name_thing
    from service.conversation.naming import is_read_already

    with _books().write() as session:
        scene = _own_scene(session)
        if is_read_already(phrase, scene.vocabulary):
            raise click.UsageError(f"{phrase!r} is made of words that mean something else already")
        _done(lambda: name_thing(phrase, meaning, scene))
    click.echo(f"{phrase} now means {meaning}.")


@alias.command("remove")
@click.argument("phrase")
def alias_remove(phrase: str) -> None:
    """PHRASE means nothing special any more."""
    from core.acts.naming import unname

    with _books().write() as session:
        _done(lambda: unname(phrase, _own_scene(session)))
    click.echo(f"{phrase} means nothing special any more.")


@alias.command("list")
def alias_list() -> None:
    """All such names."""
    from core.acts.naming import aliases

    with _books().read() as session:
        for one in aliases(Ledger(session, _farm(session).id)):
            click.echo(f"{one.phrase:24} {one.family} {one.slug}")


def _own_scene(session: Session) -> Scene:
    """What the farm does by itself, on an operator's word."""
    farm, now = _farm(session), datetime.now(UTC)
    return Scene(Ledger(session, farm.id), vocabulary(session, farm.id), Told(None, now, now))


def _done(act: Callable[[], Outcome]) -> None:
    try:
        act()
    except Refused as refused:
        raise click.UsageError(f"{ALIAS_FAULTS[refused.kind]} {refused.values['name']!r}") from None


def _books() -> Books:
    url = settings().database
    if url.startswith("sqlite:///"):
        Path(url.removeprefix("sqlite:///")).parent.mkdir(parents=True, exist_ok=True)
    return Books(url)


def _migrate(books: Books) -> None:
    import service.tables  # noqa: F401  the service's own tables belong to the same line of revisions
    from core.books.migrate import migrate as run

    run(books)


def _throw_away() -> None:
    url = settings().database
    if not url.startswith("sqlite:///"):
        raise click.UsageError("--fresh throws away SQLite files only; empty another database by its own tools.")
    file = Path(url.removeprefix("sqlite:///"))
    for one in (file, file.with_name(file.name + "-wal"), file.with_name(file.name + "-shm")):
        one.unlink(missing_ok=True)


def _farm(session: Session) -> Farm:
    farm = session.exec(select(Farm)).first()
    if farm is None:
        raise click.ClickException("There is no farm in the books yet: rowcall demo loads the invented one.")
    return farm


def _local(at: str, zone: ZoneInfo) -> datetime:
    try:
        moment = datetime.fromisoformat(at)
    except ValueError:
        raise click.UsageError(f"--at {at!r} is no time; write it like 2026-05-02T09:10") from None
    return moment if moment.tzinfo else moment.replace(tzinfo=zone)


def _day(day: str) -> date:
    try:
        return date.fromisoformat(day)
    except ValueError:
        raise click.UsageError(f"--date {day!r} is no day; write it like 2026-05-02") from None
