"""A small farm to be played in tests: a head lettuce, a second one, and two herbs."""

from datetime import date, timedelta

import numpy as np

from core.crops import profile
from core.planning.ahead import Ahead, Sowing
from core.planning.forecast import forecast
from core.planning.growth import learn, published
from core.planning.simulator import Game, House, Luck, one_possible, rule_of_thumb

TARGETS = {"butterhead": 40.0, "pak_choi": 24.0, "kale": 30.0, "cilantro": 16.0}
GROWTHS = {crop: published(profile(crop)) for crop in TARGETS}


def game(**changes):
    """The farm: room enough for its targets."""
    values = {
        "start": date(2026, 1, 5),
        "targets": TARGETS,
        "keeps": {crop: profile(crop).window_days for crop in TARGETS},
        "towers": 100,
        "sites_per_tower": 8,
        "shelf_cells": 700,
        "cover_cells": 400,
        "tray_cells": 40,
        "weekdays": (0, 2, 4, 5),
        "weeks": 26,
    }
    return Game(**values | changes)


def possible(seed):
    """Natures as they may be: a draw from what is believed."""
    rng = np.random.default_rng([seed, 99])
    return {crop: one_possible(growth, rng) for crop, growth in GROWTHS.items()}


def looked_ahead(house, sow, weeks, draws=500):
    """The forecast that somebody makes on a Monday morning who has counted everything so far."""
    played, today = house.game, house.game.day(house.today)
    learnt = {crop: learn(GROWTHS[crop], house.record.seen[crop].counts()) for crop in TARGETS}
    sowings = [
        Sowing(crop, today + timedelta(weeks=week), plugs)
        for week in range(weeks)
        for crop, plugs in sow(house).items()
    ]
    ahead = Ahead(today, weeks, frozenset(played.weekdays), sites_per_tower=played.sites_per_tower)
    return forecast(learnt, house.standing(), sowings, ahead, draws=draws)


def compared(seed, at_weeks, weeks_ahead):
    """A season played on and forecast now and then: (crop, how far ahead, range, what came) a crop and week."""
    house, sow = House(game(weeks=52), Luck(seed, possible(seed))), rule_of_thumb(GROWTHS)
    made = {}
    for week in at_weeks:
        house.play(sow, until=7 * week)
        made[week] = looked_ahead(house, sow, weeks_ahead)
    house.play(sow, until=7 * (at_weeks[-1] + weeks_ahead))
    for week, found in made.items():
        for crop in TARGETS:
            for far in range(weeks_ahead):
                yield crop, far, found.of(far, crop), house.record.ripe[crop][week + far]
