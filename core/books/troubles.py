"""Trouble looked up: what is open, who told of it and has it, and who is in charge."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from sqlmodel import col, select

from core.books import crew, people
from core.books.ledger import Ledger
from core.books.tables import Entry, Person, TroubleReport, TroubleStep
from core.trouble import Able, Waves, waves, within

IN_CHARGE = ("lead", "coordinator")
NAMING = ("same", "still")
"""Steps by which somebody tells of a trouble that was reported before."""


def open_trouble(ledger: Ledger) -> Sequence[TroubleReport]:
    """What is wrong and not yet closed, the newest first."""
    query = select(TroubleReport).where(TroubleReport.farm_id == ledger.farm_id, col(TroubleReport.open))
    return ledger.session.exec(query.order_by(col(TroubleReport.at).desc(), col(TroubleReport.entry).desc())).all()


def report(ledger: Ledger, n: int) -> TroubleReport | None:
    """The trouble that has a number, open or not."""
    query = select(TroubleReport).where(TroubleReport.farm_id == ledger.farm_id, TroubleReport.n == n)
    return ledger.session.exec(query).first()


def by_entry(ledger: Ledger, entry: int) -> TroubleReport | None:
    """The trouble that an entry reported."""
    query = select(TroubleReport).where(TroubleReport.farm_id == ledger.farm_id, TroubleReport.entry == entry)
    return ledger.session.exec(query).first()


def steps(ledger: Ledger, n: int) -> Sequence[TroubleStep]:
    """What was said of a trouble after it was reported, in order."""
    query = select(TroubleStep).where(TroubleStep.farm_id == ledger.farm_id, TroubleStep.n == n)
    return ledger.session.exec(query.order_by(col(TroubleStep.at), col(TroubleStep.entry))).all()


def reporters(ledger: Ledger, one: TroubleReport) -> tuple[int, ...]:
    """Who told of a trouble, the first first."""
    later = [step.person_id for step in steps(ledger, one.n) if step.step in NAMING]
    return tuple(dict.fromkeys(who for who in (one.person_id, *later) if who is not None))


def just_told(ledger: Ledger, person_id: int, at: datetime) -> int | None:
    """The open trouble that somebody told of so shortly before a moment that a photo of theirs is of it."""
    for one in open_trouble(ledger):
        told = [step.at for step in steps(ledger, one.n) if step.person_id == person_id]
        told += [one.at] if one.person_id == person_id else []
        if any(at - within().photo < said_at <= at for said_at in told):
            return one.n
    return None


def recorded_at_once(ledger: Ledger, person_id: int, written_at: datetime) -> int | None:
    """The number of the trouble that somebody reported or followed up in what was written at a moment."""
    written = select(Entry.n).where(
        Entry.farm_id == ledger.farm_id, Entry.person_id == person_id, Entry.written_at == written_at
    )
    for table in (TroubleReport, TroubleStep):
        found = select(table.n).where(table.farm_id == ledger.farm_id, col(table.entry).in_(written))
        n = ledger.session.exec(found.order_by(col(table.entry).desc())).first()
        if n is not None:
            return n
    return None


def in_charge(ledger: Ledger, kind: str, at: datetime, but: int | None = None) -> Waves:
    """Who is told of a trouble that somebody (`but`) reports at a moment, in which order: who can be texted at all."""
    there = crew.on_shift_now(ledger, at)
    able = [
        Able(one.id, one.role, one.id in there)
        for role in IN_CHARGE
        for one in people.crew(ledger, role)
        if one.id != but and _can_be_told(one)
    ]
    return waves(kind, able)


def _can_be_told(person: Person) -> bool:
    return person.phone is not None and person.agreed and not person.muted
