"""Tasks, looked up, and the state of the farm that decides them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from sqlmodel import col, select

from core.books import growing, water
from core.books.ledger import Ledger
from core.books.tables import Batch, ListedTask, Place, Target, Task
from core.calendar import bounds, local_day
from core.tasks import Planted, State, Work, plugs_a_week
from core.vocabulary import Vocabulary

OPEN = ("open", "started", "partial")
READ_DAILY = ("ph", "ec")
CALIBRATE_EVERY = timedelta(days=7)
"""One-point calibration. Source: TPS MC-81 manual p. 14 (weekly)."""

UNCODED = {"towers": "tower", "shelves": "shelf"}
"""Plants of which nobody said in which tower or on which shelf they stand are due like the others."""

NOT_WORTH_SOWING = 0.25
"""Less than this share of a week's plugs missing is left for the next week. Common practice, no source."""


def open_tasks(ledger: Ledger, until: date) -> Sequence[Task]:
    """Tasks of a day and of those before it that are still to be done."""
    query = select(Task).where(Task.farm_id == ledger.farm_id, col(Task.state).in_(OPEN), col(Task.day) <= until)
    return ledger.session.exec(query.order_by(col(Task.id))).all()


def tasks_made(ledger: Ledger, day: date) -> bool:
    """Whether the day has its tasks already."""
    query = select(Task.id).where(Task.farm_id == ledger.farm_id, Task.day == day)
    return ledger.session.exec(query).first() is not None


def listed(ledger: Ledger, person_id: int) -> Sequence[tuple[ListedTask, Task]]:
    """The list last sent to a person, in its order."""
    query = (
        select(ListedTask, Task)
        .join(Task, (col(Task.farm_id) == ListedTask.farm_id) & (col(Task.id) == ListedTask.task))
        .where(ListedTask.farm_id == ledger.farm_id, ListedTask.person_id == person_id)
    )
    return ledger.session.exec(query.order_by(col(ListedTask.n))).all()


def work(task: Task) -> Work:
    """A task as the rules take it."""
    return Work(task.what, task.minutes, task.crop, tuple(task.places), task.trays, task.id)


def targets(ledger: Ledger) -> dict[str, float]:
    """Heads or bunches wanted a week, by crop."""
    found = ledger.session.exec(select(Target).where(Target.farm_id == ledger.farm_id)).all()
    return {one.crop: one.count for one in found if one.count > 0}


def to_sow(ledger: Ledger, day: date) -> dict[str, int]:
    """Plugs of each crop still to be sown in the seven days up to `day` for the targets, by the rule of thumb."""
    since = day - timedelta(days=6)
    batches = ledger.session.exec(
        select(Batch).where(Batch.farm_id == ledger.farm_id, col(Batch.sown_on).between(since, day))
    ).all()
    crops, missing = growing.crops(ledger), {}
    for slug, count in targets(ledger).items():
        sown = sum(batch.plugs for batch in batches if batch.crop == slug)
        wanted = plugs_a_week(count, crops[slug].germination, crops[slug].cuts)
        if wanted - sown > NOT_WORTH_SOWING * wanted:
            missing[slug] = wanted - sown
    return missing


def state(ledger: Ledger, vocabulary: Vocabulary, day: date) -> State:
    """Everything that decides the work of a day."""
    places = growing.places(ledger)
    stands = growing.standing(ledger)
    planted = [
        Planted(
            batch.crop,
            row.place,
            UNCODED.get(places[row.place].kind, places[row.place].kind),
            row.plants,
            row.since or batch.sown_on,
            row.cuts,
            row.last_cut,
        )
        for row, batch in stands
    ]
    return State(
        calendars=growing.crops(ledger),
        planted=planted,
        free=_towers(places, "ready", {one.place for one in planted}),
        dirty=_towers(places, "to clean", {one.place for one in planted}),
        shelf_room=_shelf_room(places, planted),
        to_sow=to_sow(ledger, day),
        unread=_unread(ledger, day, vocabulary.zone),
        uncalibrated=_uncalibrated(ledger, day, vocabulary.zone),
        sites_per_tower=vocabulary.sites_per_tower,
        tray_cells=vocabulary.tray_cells,
    )


def _towers(places: dict[str, Place], state: str, planted: set[str]) -> list[str]:
    return [code for code, one in places.items() if one.kind == "tower" and one.state == state and code not in planted]


def _shelf_room(places: dict[str, Place], planted: Sequence[Planted]) -> dict[str, int]:
    standing = dict.fromkeys(places, 0)
    for one in planted:
        standing[one.place] += one.plants
    return {
        code: one.sites - standing[code] for code, one in places.items() if one.kind == "shelf" and one.state != "out"
    }


def _unread(ledger: Ledger, day: date, zone: ZoneInfo) -> list[str]:
    read = {(one.place, one.measure) for one in water.readings_between(ledger, *bounds(day, day, zone))}
    return [tank for tank in water.tanks(ledger) if any((tank, measure) not in read for measure in READ_DAILY)]


def _uncalibrated(ledger: Ledger, day: date, zone: ZoneInfo) -> list[str]:
    due = []
    for tank in water.tanks(ledger):
        last = water.last_calibration(ledger, "ph", tank)
        if last is None or local_day(last.at, zone) + CALIBRATE_EVERY <= day:
            due.append(tank)
    return due
