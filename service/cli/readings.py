"""Readings of equipment, the keys it shows, and the ranges wanted: `rowcall readings`, `token` and `range`."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import click
from sqlmodel import Session

from core.acts.ranges import range_values
from core.books import water
from core.books.samples import take_out
from core.books.tables.alarms import FROM_FILE
from core.notes import MEASURES, SetRange
from core.outcome import fact
from service.cli.edge import as_instant, open_books, own_scene, the_farm
from service.cli.main import main
from service.readings.faults import in_words
from service.readings.files import Table, read_table
from service.readings.keys import NameTaken, keys, make_key, remove_key
from service.words import Speaker

MOST_FAULTS = 20
"""Faults shown of a file."""


@main.group()
def readings() -> None:
    """Readings of equipment."""


@readings.command("import")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--source", help="What to call where they come from. The file's name, if left out.")
@click.option("--yes", is_flag=True, help="Take them in without asking.")
def import_readings(file: Path, source: str | None, yes: bool) -> None:
    """Take in the readings of a CSV FILE, all or none, after showing what is in it.

    Columns: measured_at, measure, value, and if wanted unit and where.
    """
    from core.acts.equipment import deliver

    name = FROM_FILE + (source or file.name)
    with open_books().read() as session:
        table = _sound(session, file)
    click.echo(_preview(table))
    if not yes:
        click.confirm("Take them in?", abort=True)
    with open_books().write() as session:
        came = deliver(own_scene(session).ledger, name, table.readings, datetime.now(UTC), whole=True)
    click.echo(
        f"{came.taken} readings taken in, {came.known} known already. To take them out: rowcall readings remove {name}"
    )


def _sound(session: Session, file: Path) -> Table:
    """The file's readings; a usage error that names every fault and its line where there is one."""
    from core.acts.equipment import check

    try:
        text = file.read_text("utf-8")
    except UnicodeDecodeError:
        raise click.UsageError(f"{file} is no text in UTF-8; save it as CSV UTF-8. Nothing was taken in.") from None
    table = read_table(text, ZoneInfo(the_farm(session).timezone))
    _, wrong = check(own_scene(session).ledger, table.readings, datetime.now(UTC))
    faults = sorted([*table.faults, *((table.lines[at], in_words(fault)) for at, fault in wrong)])
    if faults or not table.readings:
        told = [f"  line {line}: {reason}" for line, reason in faults[:MOST_FAULTS]] or ["  there is no reading in it"]
        more = [f"  and {len(faults) - MOST_FAULTS} more"] if len(faults) > MOST_FAULTS else []
        raise click.UsageError("\n".join([f"{file} is not taken in, nothing is changed:", *told, *more]))
    return table


def _preview(table: Table) -> str:
    """How many readings of what, and from when to when."""
    counted = Counter((one.measure, one.where or water.ROOM) for one in table.readings)
    ats = [one.at for one in table.readings]
    lines = [f"{len(table.readings)} readings, {min(ats):%Y-%m-%d %H:%M} to {max(ats):%Y-%m-%d %H:%M}:"]
    return "\n".join([*lines, *(f"  {n:6} {measure} {place}" for (measure, place), n in sorted(counted.items()))])


@readings.command("remove")
@click.argument("source")
@click.option("--from", "start", help="From this farm-local time on, 2026-05-02T09:10.")
@click.option("--to", "end", help="Up to before this farm-local time.")
def remove_readings(source: str, start: str | None, end: str | None) -> None:
    """Take the readings of a SOURCE out of the books: a token's name, a file's, or mqtt."""
    with open_books().write() as session:
        farm = the_farm(session)
        zone = ZoneInfo(farm.timezone)
        span = (as_instant(start, zone) if start else None, as_instant(end, zone) if end else None)
        gone = take_out(session, farm.id, source, *span)
    click.echo(f"{gone} readings of {source} taken out.")


@main.group()
def token() -> None:
    """The keys that equipment shows when it posts readings."""


@token.command("add")
@click.argument("name")
def token_add(name: str) -> None:
    """Make a key for the equipment NAME and show it, this once."""
    if name.startswith(FROM_FILE) or not name.strip():
        raise click.UsageError(f"a name may not be empty or begin with {FROM_FILE!r}")
    with open_books().write() as session:
        try:
            key = make_key(session, the_farm(session).id, name, datetime.now(UTC))
        except NameTaken:
            raise click.UsageError(f"there is a key {name!r} already; remove it first") from None
    click.echo(f"{key}\nKeep it now, it is not shown again. Send readings with: Authorization: Bearer {key}")


@token.command("list")
def token_list() -> None:
    """All keys by name, when they were made and last used."""
    with open_books().read() as session:
        for one in keys(session, the_farm(session).id):
            used = f"used {one.used_at:%Y-%m-%d %H:%M} UTC" if one.used_at else "never used"
            click.echo(f"{one.name:24} made {one.made_at:%Y-%m-%d}, {used}")


@token.command("remove")
@click.argument("name")
def token_remove(name: str) -> None:
    """Take the key NAME away: from now on it opens nothing. Readings that it brought stay."""
    with open_books().write() as session:
        if not remove_key(session, the_farm(session).id, name):
            raise click.UsageError(f"there is no key {name!r}")
    click.echo(f"{name} is taken away.")


@main.group("range")
def range_group() -> None:
    """The ranges wanted of each measure, by tank and room."""


@range_group.command("list")
def range_list() -> None:
    """Every range as it is now, and which crop sets which end."""
    with open_books().read() as session:
        scene = own_scene(session)
        speaker, wanted = Speaker("en", scene.vocabulary, scene.day), water.wanted(scene.ledger)
        for measure in MEASURES:
            for place in water.places_of(measure, scene.vocabulary.tanks):
                click.echo(speaker.say(fact("range_told", **range_values(measure, place, wanted(measure, place)))))


@range_group.command("set")
@click.argument("where")
@click.argument("measure", type=click.Choice(MEASURES))
@click.argument("low", type=float)
@click.argument("high", type=float)
def range_set(where: str, measure: str, low: float, high: float) -> None:
    """Set the range of MEASURE in the tank WHERE ("room" for the air), in mS/cm, degC, %, ppm or mg/L."""
    _change(SetRange(measure=measure, where=where, low=low, high=high))


@range_group.command("clear")
@click.argument("where")
@click.argument("measure", type=click.Choice(MEASURES))
def range_clear(where: str, measure: str) -> None:
    """Go by the crops again for MEASURE in the tank WHERE ("room" for the air)."""
    _change(SetRange(measure=measure, where=where, usual=True))


def _change(note: SetRange) -> None:
    from core.acts import carry_out
    from core.errors import Refused

    with open_books().write() as session:
        scene = own_scene(session)
        places = water.places_of(str(note.measure), scene.vocabulary.tanks)
        if note.where not in places:
            raise click.UsageError(f"{note.measure} is read in {', '.join(places)}, not in {note.where!r}")
        try:
            outcome = carry_out(note, scene)
        except Refused:
            raise click.UsageError(f"{note.low:g} to {note.high:g} cannot be a range of {note.measure}") from None
        click.echo(Speaker("en", scene.vocabulary, scene.day).text(outcome.facts))
