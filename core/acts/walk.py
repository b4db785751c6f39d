"""Filling the walk through the farm from its books, and the story of one place from its journal."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlmodel import select

from core.books import growing
from core.books.ledger import Ledger
from core.books.tables import Cleaning, Cut, Entry, PlantLoss, Posting
from core.calendar import local_day
from core.notes import Clean, Harvest, Loss, Note, from_record
from core.places import LIVES
from core.tasks import Planted
from core.walk import Held, Spot, held, spot

COLLECTIVE = ("towers", "shelves")
"""Places that stand for plants nobody gave a code for: shown only while some are there."""


def walk(ledger: Ledger, today: date) -> list[Spot]:
    """Every place of the farm with what stands there on a day, as the books have it now."""
    crops, there = growing.crops(ledger), defaultdict[str, list[Held]](list)
    places = growing.places(ledger)
    for row, batch in growing.standing(ledger):
        life = LIVES.get(places[row.place].kind, "tower")
        since = row.since or batch.sown_on
        planted = Planted(batch.crop, row.place, life, row.plants, since, row.cuts, row.last_cut)
        there[row.place].append(held(crops[batch.crop], planted, batch.code, batch.sown_on, today))
    return [
        spot(code, one.kind, LIVES.get(one.kind, "tower"), one.sites, one.state, there[code])
        for code, one in places.items()
        if code not in COLLECTIVE or there[code]
    ]


Happened = Cut | PlantLoss | Cleaning
"""What may have happened in a place before the books were opened."""


@dataclass(frozen=True, slots=True)
class Told:
    """Something told of a place: when (`at`, or only the day), by whom, the note (None for what the farm wrote by
    itself), and its effect.

    `plants`: batch -> how many came (or left, below 0). `state`: the state an empty place was put into.
    """

    on: date
    at: datetime | None
    person_id: int | None
    note: Note | None
    plants: dict[str, int] = field(default_factory=dict)
    state: str | None = None


def story(ledger: Ledger, place: str, before: datetime, zone: ZoneInfo) -> list[Told]:
    """What was told of a place before an instant and not taken back, the newest first.

    Cuts, losses and cleaning that the books were opened with are told by the day they happened on.
    """
    by_entry: dict[int, tuple[Entry, list[Posting]]] = {}
    standing = ledger.told_of("standing", f"|{place}", before)
    state = ((entry, posting) for entry, posting in ledger.told_of("place", place, before) if posting.row == place)
    for entry, posting in (*standing, *state):
        by_entry.setdefault(entry.n, (entry, []))[1].append(posting)
    told = [_told(*by_entry[n], zone) for n in sorted(by_entry, reverse=True)]
    return [*told, *sorted(_opened_with(ledger, place), key=lambda one: one.on, reverse=True)]


def _told(entry: Entry, postings: list[Posting], zone: ZoneInfo) -> Told:
    plants: dict[str, int] = {}
    state: str | None = None
    for posting in postings:
        if posting.account == "place":
            state = posting.value.get("state", state)
        elif posting.verb != "put" and (change := int(posting.value.get("plants", 0))):
            batch = posting.row.split("|")[0]
            plants[batch] = plants.get(batch, 0) + change
    note = from_record(entry.note) if entry.note else None
    came = any(change > 0 for change in plants.values())
    return Told(local_day(entry.said_at, zone), entry.said_at, entry.person_id, note, plants, None if came else state)


def _opened_with(ledger: Ledger, place: str) -> Iterator[Told]:
    """What had happened in a place when the books were opened."""
    opening = growing.books_begin(ledger)
    if opening is None:
        return
    tables: tuple[Any, ...] = (Cut, PlantLoss, Cleaning)
    for table in tables:
        rows: Sequence[Happened] = ledger.session.exec(
            select(table).filter_by(farm_id=ledger.farm_id, entry=opening.n)
        ).all()
        for row in rows:
            if place in row.places:
                yield Told(row.on, getattr(row, "at", None), getattr(row, "person_id", None), _note(row))


def _note(row: Happened) -> Note:
    places = tuple(row.places)
    if isinstance(row, Cut):
        return Harvest(crop=row.crop, count=row.count, weight_g=row.weight_g, culled=row.culled, places=places)
    if isinstance(row, PlantLoss):
        return Loss(crop=row.crop, count=row.count, reason=row.reason, places=places)
    return Clean(what=row.what, places=places)
