"""Names of the crew's own: `rowcall alias`."""

from __future__ import annotations

from collections.abc import Callable

import click

from core.books.ledger import Ledger
from core.errors import Refused
from core.outcome import Outcome
from service.cli.edge import open_books, own_scene, the_farm
from service.cli.main import main

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

    with open_books().write() as session:
        scene = own_scene(session)
        if is_read_already(phrase, scene.vocabulary):
            raise click.UsageError(f"{phrase!r} is made of words that mean something else already")
        _done(lambda: name_thing(phrase, meaning, scene))
    click.echo(f"{phrase} now means {meaning}.")


@alias.command("remove")
@click.argument("phrase")
def alias_remove(phrase: str) -> None:
    """PHRASE means nothing special any more."""
    from core.acts.naming import unname

    with open_books().write() as session:
        _done(lambda: unname(phrase, own_scene(session)))
    click.echo(f"{phrase} means nothing special any more.")


@alias.command("list")
def alias_list() -> None:
    """All such names."""
    from core.acts.naming import aliases

    with open_books().read() as session:
        for one in aliases(Ledger(session, the_farm(session).id)):
            click.echo(f"{one.phrase:24} {one.family} {one.slug}")


def _done(act: Callable[[], Outcome]) -> None:
    try:
        act()
    except Refused as refused:
        raise click.UsageError(f"{ALIAS_FAULTS[refused.kind]} {refused.values['name']!r}") from None
