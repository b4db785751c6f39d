"""Looking ahead from the farm's books: what is believed of each crop, what stands, what will be sown, who cuts when."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from datetime import date, timedelta

from sqlmodel import select

from core.books import crew, growing, growth, planning, tasks
from core.books.ledger import Ledger
from core.books.tables import ShiftPattern
from core.notes import DAYS
from core.places import LIVES
from core.planning.ahead import Ahead, Sowing
from core.planning.forecast import DRAWS, Forecast, forecast
from core.planning.growth import Growth, learn, published
from core.planning.model import Standing
from core.planning.simulator import Game
from core.tasks import plugs_a_week
from core.vocabulary import Vocabulary

EVERY_DAY = tuple(range(7))


def growths(ledger: Ledger, vocabulary: Vocabulary) -> dict[str, Growth]:
    """What the farm has learnt of each of its crops."""
    counted = growth.counts(ledger, vocabulary.zone)
    believed = {slug: published(crop) for slug, crop in growing.crops(ledger).items()}
    return {slug: learn(one, counted[slug]) if slug in counted else one for slug, one in believed.items()}


def look_ahead(
    ledger: Ledger, vocabulary: Vocabulary, today: date, weeks: int, draws: int = DRAWS, crop: str | None = None
) -> Forecast:
    """What will be ready to cut in the weeks from that of a day on, of one crop or of all."""
    last = today + timedelta(weeks=weeks)
    ahead = Ahead(
        today=today,
        weeks=weeks,
        weekdays=frozenset(work_days(ledger)),
        closed=frozenset(crew.closed_days(ledger, today, last)),
        sites_per_tower=vocabulary.sites_per_tower,
    )
    believed = growths(ledger, vocabulary)
    wanted = {slug: one for slug, one in believed.items() if crop in (None, slug)}
    return forecast(wanted, standing(ledger), sowings(ledger, believed, today, last), ahead, draws=draws)


def standing(ledger: Ledger) -> list[Standing]:
    """What stands, a row a place, but for plants that gave all their cuts."""
    places = growing.places(ledger)
    return [
        Standing(
            crop=batch.crop,
            where=LIVES[places[stand.place].kind],
            plants=stand.plants,
            since=stand.since or batch.sown_on,
            cuts=stand.cuts,
            last_cut=stand.last_cut,
            places=(stand.place,),
        )
        for stand, batch in growing.standing(ledger)
    ]


def sowings(ledger: Ledger, believed: Mapping[str, Growth], today: date, last: date) -> list[Sowing]:
    """What is still to be sown this week, and then each week what the kept plan says, or else the rule of thumb."""
    now = [Sowing(crop, today, plugs) for crop, plugs in tasks.to_sow(ledger, today).items()]
    made, by_thumb = planning.kept_plan(ledger, today), _by_thumb(ledger, believed)
    later = []
    for days in range(7 - today.weekday(), (last - today).days, 7):
        monday = today + timedelta(days=days)
        at = (monday - made.start).days // 7 if made else 0
        planned = {crop: plugs[at] for crop, plugs in made.sow.items()} if made and at < made.weeks else by_thumb
        later += [Sowing(crop, monday, plugs) for crop, plugs in planned.items()]
    return now + later


def _by_thumb(ledger: Ledger, believed: Mapping[str, Growth]) -> dict[str, int]:
    return {
        crop: plugs_a_week(target, believed[crop].germination.mean, believed[crop].cuts)
        for crop, target in tasks.targets(ledger).items()
        if crop in believed
    }


def game(ledger: Ledger, vocabulary: Vocabulary, start: date) -> Game:
    """The farm to be played for a year from the Monday of a day: its room, its crew's days and its targets."""
    crops, places = growing.crops(ledger), growing.places(ledger).values()
    room: dict[str, int] = defaultdict(int)
    for place in places:
        room[LIVES[place.kind]] += place.sites if place.state != "out" else 0
    targets = {crop: count for crop, count in tasks.targets(ledger).items() if crop in crops}
    return Game(
        start=start - timedelta(days=start.weekday()),
        targets=targets,
        keeps={crop: crops[crop].window_days for crop in targets},
        towers=room["tower"] // vocabulary.sites_per_tower,
        sites_per_tower=vocabulary.sites_per_tower,
        shelf_cells=room["shelf"],
        cover_cells=room["cover"],
        tray_cells=vocabulary.tray_cells,
        weekdays=work_days(ledger),
    )


def work_days(ledger: Ledger) -> tuple[int, ...]:
    """Weekdays with a shift, 0 is Monday; every day where no shift is set."""
    patterns = ledger.session.exec(select(ShiftPattern).where(ShiftPattern.farm_id == ledger.farm_id)).all()
    return tuple(sorted({DAYS.index(one.day) for one in patterns})) or EVERY_DAY
