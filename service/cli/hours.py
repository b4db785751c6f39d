"""Hours, letters and calendars: `rowcall hours`, `letter`, `calendar`."""

from __future__ import annotations

import csv
import sys
from collections.abc import Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import click
from sqlmodel import Session

from core.books.hours import worked_rows
from core.books.ledger import Ledger
from core.books.people import by_handle
from core.books.tables import Farm, Person
from core.calendar import local_day
from core.hours import WorkDay, counted, worth
from service import links
from service.cli.edge import as_day, open_books, the_farm
from service.cli.main import main


@main.command()
@click.option("--from", "first", help="First farm-local day, 2026-01-01. The first of this year, if left out.")
@click.option("--to", "last", help="Last day. Today, if left out.")
@click.option("--csv", "as_csv", is_flag=True, help="Comma-separated, for a spreadsheet.")
def hours(first: str | None, last: str | None, as_csv: bool) -> None:
    """Hours given by each person, how many of them still wait for a lead, and what they are worth in all."""
    with open_books().read() as session:
        farm = the_farm(session)
        start, end = _days(farm, first, last)
        people = counted(worked_rows(Ledger(session, farm.id), start, end))
        rows = [
            (_person(session, farm, number).name, len(days), sum(day.minutes for day in days) / 60, _waiting(days))
            for number, days in people.items()
        ]
    if as_csv:
        writer = csv.writer(sys.stdout)
        writer.writerow(["name", "days", "hours", "hours waiting for approval"])
        writer.writerows((name, days, round(given, 2), round(waiting, 2)) for name, days, given, waiting in rows)
        return
    for name, count, given, waiting in rows:
        click.echo(f"{name:24} {count:4} days {given:8.1f} h" + (f"  ({waiting:.1f} h to approve)" if waiting else ""))
    total = sum(given for _, _, given, _ in rows)
    click.echo(f"{'All':24} {'':9} {total:8.1f} h, {start} to {end}")
    value = worth(total * 60, end.year)
    if value is not None:
        figure = f"{value.rate} an hour, figure of {value.year}: {value.source}"
        click.echo(f"Worth {value.amount:,.2f} {value.currency} at {figure}.")


@main.command()
@click.argument("handle")
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@click.option("--from", "first", help="First farm-local day. The first of this year, if left out.")
@click.option("--to", "last", help="Last day. Today, if left out.")
@click.option("--language", help="en or es. The farm's first language, if left out.")
def letter(handle: str, file: Path, first: str | None, last: str | None, language: str | None) -> None:
    """Write the service-hours letter of HANDLE to FILE, as PDF, with a line to sign on."""
    from service.letters.writing import hours_letter

    with open_books().read() as session:
        farm = the_farm(session)
        start, end = _days(farm, first, last)
        person = _by_handle(session, farm, handle)
        file.write_bytes(hours_letter(session, farm, person, start, end, _today(farm), language))
    click.echo(f"{file} is written. Read it before you sign it.")


@main.command()
@click.argument("handle", required=False)
@click.option("--new", is_flag=True, help="Close the addresses given before.")
def calendar(handle: str | None, new: bool) -> None:
    """Give the calendar address of HANDLE's shifts, or of the farm's. It is shown once."""
    with open_books().write() as session:
        farm = the_farm(session)
        person = _by_handle(session, farm, handle) if handle else None
        number = person.id if person else 0
        if new:
            links.take_back(session, farm.id, "calendar", number)
        about = {"person": number} if person else {}
        token = links.issue(session, farm.id, "calendar", about, person_id=number, now=datetime.now(UTC))
    click.echo(links.address(f"/calendar/{token}.ics"))


def _days(farm: Farm, first: str | None, last: str | None) -> tuple[date, date]:
    end = as_day(last, "--to") if last else _today(farm)
    start = as_day(first, "--from") if first else end.replace(month=1, day=1)
    if start > end:
        raise click.UsageError(f"--from {start} is after --to {end}.")
    return start, end


def _today(farm: Farm) -> date:
    return local_day(datetime.now(UTC), ZoneInfo(farm.timezone))


def _waiting(days: Sequence[WorkDay]) -> float:
    return float(sum(day.minutes for day in days if day.waits) / 60)


def _person(session: Session, farm: Farm, number: int) -> Person:
    return session.get_one(Person, (farm.id, number))


def _by_handle(session: Session, farm: Farm, handle: str) -> Person:
    person = by_handle(Ledger(session, farm.id), handle)
    if person is None:
        raise click.UsageError(f"Nobody has the handle {handle!r}; rowcall people lists them.")
    return person
