"""Texting by hand: `rowcall say` and `understand`."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import TextIO
from uuid import uuid4
from zoneinfo import ZoneInfo

import click

from service.cli.edge import as_instant, open_books, the_farm
from service.cli.main import main


@main.command()
@click.argument("text")
@click.option("--as", "handle", required=True, help="Who texts: a handle of the farm (walt) or a number.")
@click.option("--at", "at", help="When, farm-local: 2026-05-02T09:10. Now, if left out.")
def say(text: str, handle: str, at: str | None) -> None:
    """Text the farm as one of its people and print what it answers."""
    from service import inbox
    from service.conversation import Conversation
    from service.practice.texting import PracticeText, WrongText, hand_over

    books, conversation = open_books(), Conversation()
    with books.read() as session:
        zone = ZoneInfo(the_farm(session).timezone)
    now = as_instant(at, zone) if at else datetime.now(UTC)
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
