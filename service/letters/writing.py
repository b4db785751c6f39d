"""A person's letter from the books."""

from __future__ import annotations

from datetime import date

from sqlmodel import Session

from core.books.hours import worked_rows
from core.books.ledger import Ledger
from core.books.tables import Farm, Person
from core.hours import counted
from service.letters.hours_letter import Letter, pdf

LETTER_PAPER = ("America/",)
"""Time zones of which the offices mostly use US letter paper; elsewhere A4."""


def hours_letter(
    session: Session, farm: Farm, person: Person, first: date, last: date, today: date, language: str | None = None
) -> bytes:
    """The letter on somebody's hours from the first to the last day, in the farm's first language or another."""
    days = counted(worked_rows(Ledger(session, farm.id), first, last, person.id)).get(person.id, [])
    letter = Letter(farm.name, person.name, not person.grown_up, first, last, days, today)
    return pdf(
        letter, language or farm.languages[0], paper="letter" if farm.timezone.startswith(LETTER_PAPER) else "a4"
    )
