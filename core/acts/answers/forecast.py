"""What will be ready to cut: of all crops in a week, or of one crop in the coming weeks, each with its range."""

from __future__ import annotations

from datetime import date, timedelta

from core.acts.answers.shortened import shortened
from core.acts.forecast import look_ahead
from core.acts.scene import Scene
from core.calendar import asked_days
from core.notes import Ask
from core.outcome import Fact, Outcome, fact
from core.planning.forecast import Forecast, Range

DRAWS = 600
"""Enough for whole heads; a text is answered while somebody waits."""

MOST_CROPS = 4
MOST_WEEKS = 3
FARTHEST_WEEKS = 26
"""Half a year on, only what is sown later counts."""


def forecast(note: Ask, scene: Scene) -> Outcome:
    """How much is likely: next week where no time is named, of one crop three weeks from then on."""
    asked = asked_days(note, scene.day, "next_week")
    first = max(0, (asked.first - scene.day + timedelta(days=scene.day.weekday())).days // 7)
    if first >= FARTHEST_WEEKS:
        return Outcome((fact("forecast_too_far", weeks=FARTHEST_WEEKS),))
    found = look_ahead(scene.ledger, scene.vocabulary, scene.day, first + MOST_WEEKS, DRAWS, note.crop)
    if note.crop is None:
        return Outcome((_week(found, first),))
    return Outcome((_crop(found, note.crop, first),))


def _week(found: Forecast, week: int) -> Fact:
    ranges = {crop: found.of(week, crop) for crop in found.draws}
    likely = sorted((crop for crop in ranges if ranges[crop].high > 0), key=lambda crop: -ranges[crop].mean)
    if not likely:
        return fact("forecast_none", day=_monday(found, week))
    shown, more = shortened([_amount(crop, ranges[crop]) for crop in likely], MOST_CROPS)
    return fact("forecast_week", day=_monday(found, week), crops=shown, more=more)


def _crop(found: Forecast, crop: str, first: int) -> Fact:
    weeks = [(week, found.of(week, crop)) for week in range(first, found.weeks)]
    if crop not in found.draws or not any(one.high for _, one in weeks):
        return fact("forecast_none_of", crop=crop, day=_monday(found, found.weeks))
    said = tuple(_in_week(_monday(found, week), one) for week, one in weeks)
    return fact("forecast_crop", crop=crop, weeks=said)


def _in_week(monday: date, one: Range) -> Fact:
    return fact("forecast_in_week", day=monday, n=round(one.middle), low=round(one.low), high=round(one.high))


def _amount(crop: str, one: Range) -> Fact:
    amount = {"crop": crop, "count": round(one.middle)}
    return fact("forecast_amount", picked=amount, low=round(one.low), high=round(one.high))


def _monday(found: Forecast, week: int) -> date:
    return found.start + timedelta(weeks=week)
