"""Places, crops and labels: `rowcall place`, `crop` and `labels`."""

from __future__ import annotations

from pathlib import Path

import click
from sqlmodel import Session

from core.books import growing
from core.books.ledger import Ledger
from core.errors import BadCrop, Refused
from core.notes import Ask
from core.places import codes as row_codes
from core.vocabulary import Vocabulary
from service.cli.edge import as_day, open_books, own_scene, the_farm
from service.cli.main import main
from service.labels import Label, of_places, of_trays, papers, print_labels, sizes
from service.words import Speaker

KINDS = ("towers", "shelves", "tanks", "all")


@main.command()
@click.argument("code")
@click.option("--on", "day", help="The farm-local day, 2026-05-03. Today, if left out.")
def place(code: str, day: str | None) -> None:
    """Say what stands in the place CODE (B7, shelf2), or stood there at the end of a past day."""
    from core.acts.answers import answer

    with open_books().read() as session:
        scene = own_scene(session)
        named = code.upper() if scene.vocabulary.is_tower(code.upper()) else code
        note = Ask(about="place", place=named, date=as_day(day, "--on") if day else None)
        try:
            outcome = answer(note, scene.told, scene.ledger, scene.vocabulary)
        except Refused:
            raise click.UsageError(f"there is no place {code!r}") from None
        click.echo(Speaker("en", scene.vocabulary, scene.day).text(outcome.facts))


@main.group()
def crop() -> None:
    """The crops of the farm."""


@crop.command("list")
def crop_list() -> None:
    """All crops of the farm with their days: covered, on shelves, in towers, cuts and days between them."""
    with open_books().read() as session:
        click.echo(f"{'crop':16}{'cover':>6}{'shelf':>6}{'tower':>6}{'cuts':>6}{'regrow':>8}{'comes up':>10}")
        for slug, one in sorted(growing.crops(Ledger(session, the_farm(session).id)).items()):
            days = f"{one.cover_days:6}{one.shelf_days:6}{one.tower_days:6}{one.cuts:6}{one.regrow_days or '-':>8}"
            click.echo(f"{slug:16}{days}{one.germination:>10.0%}")


@crop.command("add")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
def crop_add(file: Path) -> None:
    """Add the crop that a TOML FILE describes, or give one of the farm's the values in it."""
    from core.acts.crops import take_up
    from core.crop_files import read_crop
    from core.crops import profiles

    with open_books().write() as session:
        scene = own_scene(session)
        own = {slug: growing.grown(row) for slug, row in growing.crops(scene.ledger).items()}
        try:
            made = read_crop(file.read_text("utf-8"), {**profiles(), **own})
        except BadCrop as bad:
            raise click.UsageError("\n".join([f"{file} is not taken, nothing is changed:", *bad.faults])) from None
        try:
            take_up(made, scene)
        except Refused as refused:
            raise click.UsageError(f"another thing is called {refused.values['name']!r} already") from None
    click.echo(f"{made.slug} is {'changed' if made.slug in own else 'added'}.")


@main.command()
@click.argument("out", type=click.Path(dir_okay=False, writable=True, path_type=Path))
@click.option("--of", "kind", type=click.Choice(KINDS), default="towers", show_default=True, help="What to label.")
@click.option("--rows", help="Rows of towers, A-F or A,C. All, if left out.")
@click.option("--trays", default=0, help="So many labels for trays besides.")
@click.option("--paper", type=click.Choice(papers()), default="letter", show_default=True)
@click.option("--size", type=click.Choice(sizes()), default="small", show_default=True)
@click.option("--language", default="en", show_default=True)
def labels(out: Path, kind: str, rows: str | None, trays: int, paper: str, size: str, language: str) -> None:
    """Write labels to the PDF file OUT. Scanning one opens a text to the farm that begins with the place's name."""
    with open_books().read() as session:
        made = _labels(session, kind, rows, trays, language)
    if not made:
        raise click.UsageError("there is nothing of that to label")
    sheets = print_labels(made, paper, size, out)
    click.echo(f"{len(made)} labels on {sheets} {'sheet' if sheets == 1 else 'sheets'} of {paper}: {out}")


def _labels(session: Session, kind: str, rows: str | None, trays: int, language: str) -> list[Label]:
    scene, farm = own_scene(session), the_farm(session)
    speaker = Speaker(language, scene.vocabulary, scene.day)
    codes = _codes(scene.vocabulary, kind, rows)
    return [*of_places(codes, scene.vocabulary, farm.phone, speaker), *of_trays(trays, farm.phone, speaker)]


def _codes(words: Vocabulary, kind: str, rows: str | None) -> list[str]:
    """The places to label, in walking order."""
    towers = [code for row in _rows(words, rows) for code in row_codes(row, words.tower_rows[row])]
    chosen = {"towers": towers, "shelves": [*words.shelves, words.cover], "tanks": list(words.tanks)}
    return chosen.get(kind) or [code for part in chosen.values() for code in part]


def _rows(words: Vocabulary, rows: str | None) -> list[str]:
    """The rows named, "A-F" or "A,C"."""
    known = sorted(words.tower_rows)
    if not rows:
        return known
    first, dash, last = rows.upper().replace(" ", "").partition("-")
    wanted = [row for row in known if first <= row <= last] if dash else first.split(",")
    if not wanted or not set(wanted) <= set(known) or (dash and not {first, last} <= set(known)):
        raise click.UsageError(f"--rows {rows!r}: the rows are {', '.join(known)}; write A-F or A,C")
    return wanted
