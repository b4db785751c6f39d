"""Tasks, looked up, and the state of the farm that decides them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from sqlmodel import col, select

from core import upkeep
from core.books import growing, planning, water
from core.books.ledger import Ledger
from core.books.tables import Addition, Batch, Cleaning, ListedTask, Place, Target, Task
from core.calendar import bounds, local_day
from core.calibration import probe
from core.places import LIVES, OUT
from core.readings import judge
from core.sizing import learnt
from core.tasks import Planted, State, Work, plugs_a_week
from core.vocabulary import Vocabulary

OPEN = ("open", "started", "partial")
READ_DAILY = ("ph", "ec")
CALIBRATE_EVERY = timedelta(days=probe("ph").every_days)

RECENT_READING = timedelta(days=2)
"""A level older than this says nothing of today. Common practice, no source."""

MOST_TIMES = 20
"""So many of the newest tasks of a kind say how long it takes. Common practice, no source."""

NOT_WORTH_SOWING = 0.25
"""Less than this share of a week's plugs missing is left for the next week. Common practice, no source."""


def open_tasks(ledger: Ledger, until: date) -> Sequence[Task]:
    """Tasks of a day and of those before it that are still to be done."""
    query = select(Task).where(Task.farm_id == ledger.farm_id, col(Task.state).in_(OPEN), col(Task.day) <= until)
    return ledger.session.exec(query.order_by(col(Task.id))).all()


def tasks_shown(ledger: Ledger, day: date) -> Sequence[Task]:
    """Tasks of a day in every state, and those of earlier days that are still to be done."""
    of_day_or_open = (col(Task.day) == day) | (col(Task.state).in_(OPEN) & (col(Task.day) < day))
    query = select(Task).where(Task.farm_id == ledger.farm_id, of_day_or_open)
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
    """Plugs of each crop still to be sown in a day's week by the plan; where none is kept, by the rule of thumb."""
    planned = planning.planned_to_sow(ledger, day)
    return _by_thumb(ledger, day) if planned is None else planned


def _by_thumb(ledger: Ledger, day: date) -> dict[str, int]:
    """Plugs still to be sown in the seven days up to `day` for the targets."""
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
            LIVES[places[row.place].kind],
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
        low=_low(ledger, day, vocabulary.zone),
        to_water=_to_water(ledger, day, vocabulary.cover),
        upkeep=_upkeep(ledger, day, vocabulary.zone),
        minutes=learnt_minutes(ledger),
        sites={code: one.sites for code, one in places.items() if one.sites},
    )


def learnt_minutes(ledger: Ledger) -> dict[str, float]:
    """Minutes a unit of each kind of work takes one person here, where enough tasks were timed."""
    query = select(Task).where(Task.farm_id == ledger.farm_id, col(Task.took_minutes).is_not(None))
    times: dict[str, list[tuple[float, float]]] = defaultdict(list)
    for task in ledger.session.exec(query.order_by(col(Task.id).desc())):
        if len(times[task.what]) < MOST_TIMES:
            times[task.what].append((task.took_minutes or 0, task.done_units or work(task).units))
    return {what: rate for what, found in times.items() if (rate := learnt(what, found)) is not None}


def _towers(places: dict[str, Place], state: str, planted: set[str]) -> list[str]:
    return [
        code
        for code, one in places.items()
        if LIVES[one.kind] == "tower" and code != one.kind and one.state == state and code not in planted
    ]


def _shelf_room(places: dict[str, Place], planted: Sequence[Planted]) -> dict[str, int]:
    standing = dict.fromkeys(places, 0)
    for one in planted:
        standing[one.place] += one.plants
    return {
        code: one.sites - standing[code]
        for code, one in places.items()
        if LIVES[one.kind] == "shelf" and code != one.kind and one.state != OUT
    }


def _unread(ledger: Ledger, day: date, zone: ZoneInfo) -> list[str]:
    start, end = bounds(day, day, zone)

    def is_read(tank: str, measure: str) -> bool:
        """Whether it was read on that day."""
        last = water.latest(ledger, measure, tank, end)
        return last is not None and last.at >= start

    return [tank for tank in water.tanks(ledger) if not all(is_read(tank, measure) for measure in READ_DAILY)]


def _low(ledger: Ledger, day: date, zone: ZoneInfo) -> list[str]:
    """Tanks whose newest level is too low, and into which no water came since."""
    _, end = bounds(day, day, zone)
    low = []
    for tank in water.tanks(ledger):
        level = water.latest(ledger, "level", tank, end)
        if level is None or level.at < end - RECENT_READING or judge("level", level.value) != "low":
            continue
        filled = select(Addition.entry).where(Addition.farm_id == ledger.farm_id, Addition.tank == tank)
        if not ledger.session.exec(filled.where(Addition.item == "water", col(Addition.at) > level.at)).first():
            low.append(tank)
    return low


def _to_water(ledger: Ledger, day: date, cover: str) -> list[str]:
    """The cover, where trays were sown yesterday or today and not watered in since."""
    sown = [
        batch.sown_on
        for _, batch in growing.standing(ledger, [cover])
        if day - timedelta(days=1) <= batch.sown_on <= day
    ]
    done = select(Task).where(Task.farm_id == ledger.farm_id, Task.what == "water", Task.state == "done")
    watered = max((one.day for one in ledger.session.exec(done)), default=date.min)
    return [cover] if any(one > watered for one in sown) else []


def _upkeep(ledger: Ledger, day: date, zone: ZoneInfo) -> list[str]:
    """Things to clean that were last seen to long enough ago."""
    last: dict[str, date] = {}
    for one in ledger.session.exec(select(Cleaning).where(Cleaning.farm_id == ledger.farm_id)):
        last[one.what] = max(one.on, last.get(one.what, one.on))
    opening = growing.books_begin(ledger)
    return upkeep.due(last, day, local_day(opening.said_at, zone) if opening else day)


def _uncalibrated(ledger: Ledger, day: date, zone: ZoneInfo) -> list[str]:
    due = []
    for tank in water.tanks(ledger):
        last = water.last_calibration(ledger, "ph", tank)
        if last is None or local_day(last.at, zone) + CALIBRATE_EVERY <= day:
            due.append(tank)
    return due
