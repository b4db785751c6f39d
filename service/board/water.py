"""Water and air: what was last read everywhere, what is wanted, alarms, probes; and one measure over time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Annotated, Any

from fastapi import APIRouter, Query, Response
from fastapi.responses import HTMLResponse
from markupsafe import Markup

from core.acts.alarms import alarm_fact
from core.acts.curve import curve
from core.acts.picture import STALE
from core.acts.ranges import range_facts
from core.acts.trends import Heading, outlooks
from core.books import alarms, people, water
from core.books.tables import Alarm, Calibration
from core.calendar import bounds, local_day
from core.calibration import is_due, overdue_days, probes
from core.notes import MEASURES
from core.outcome import Fact
from core.people import first_name
from core.readings import Judgement, judge
from core.readings.curve import Curve
from core.readings.ranges import Wanted
from service.board.curves import CELSIUS, FAHRENHEIT, Scale, Words, days_of, svg
from service.board.pages import Page
from service.board.turned import NotThere
from service.board.view import Lead, View
from service.board.wording import PageSpeaker

router = APIRouter()
PAGE = Page("water", "/board/water", router)

SPANS = (7, 14, 30, 90)
"""Days that a figure can show."""

USUAL_SPAN = 14
MOST_FIGURES = 3
"""Drawn on the page of everything: those of what is off."""

UNITS = {"ph": "pH", "ec": "mS/cm", "humidity": "%", "co2": "ppm", "level": "%", "oxygen": "mg/L"}
"""Of figures and tables; temperatures go by the farm's own scale."""


@dataclass(frozen=True, slots=True)
class Latest:
    """The newest reading of a measure somewhere, what is wanted there and why; `old` where it says nothing of today."""

    measure: str
    place: str
    read: water.Read | None
    by: str
    wanted: Wanted
    verdict: Judgement
    old: bool


@dataclass(frozen=True, slots=True)
class Probe:
    """A probe of a tank: its last calibration, whether the next is due, and by how many days it is late."""

    measure: str
    tank: str
    last: Calibration | None
    due: bool
    late: int


@dataclass(frozen=True, slots=True)
class DayRow:
    """What was read of a measure on a day: how often, the least, the most, the last, and what happened besides."""

    day: date
    n: int
    least: float
    most: float
    last: float
    verdict: Judgement
    calibrated: bool
    alarmed: bool


@router.get(PAGE.path, response_class=HTMLResponse)
def water_and_air(view: Lead) -> Response:
    """The newest of everything."""
    return show(view)


def show(view: View, status: int = 200, **values: Any) -> Response:
    """The page, with what came of a form where one was sent."""
    places, alarmed = _places(view), _alarms(view)
    told = {(one.measure, one.place) for one, _, _ in alarmed}
    off = [one for rows in places.values() for one in rows if one.read and one.verdict != "fine" and not one.old]
    drawn = [*told, *((one.measure, one.place) for one in off if (one.measure, one.place) not in told)]
    return view.show(
        PAGE,
        status=status,
        places=places,
        off=[one for one in off if (one.measure, one.place) not in told],
        alarms=alarmed,
        figures=[(*one, _figure(view, *one, USUAL_SPAN)[1]) for one in drawn[:MOST_FIGURES]],
        figure_days=USUAL_SPAN,
        heading=_heading(view),
        probes=list(_probes(view)),
        ranges=range_facts,
        **({"sent": "", "faults": (), "came": None} | values),
    )


@router.get(PAGE.path + "/{place}/{measure}", response_class=HTMLResponse)
def measure(view: Lead, place: str, measure: str, days: Annotated[int, Query()] = USUAL_SPAN) -> Response:
    """One measure in a tank or the room over time, as a figure and as a table."""
    if measure not in MEASURES or place not in water.places_of(measure, view.vocabulary.tanks) or days not in SPANS:
        raise NotThere
    found, figure = _figure(view, measure, place, days)
    return view.show(
        PAGE,
        "measure.html",
        curve=found,
        days=days,
        spans=SPANS,
        scale=_scale(measure, view),
        unit=_unit(measure, view),
        wanted=range_facts(measure, found.wanted),
        figure=figure,
        rows=_by_day(found, view),
        others=_others(view),
    )


def _figure(view: View, measure: str, place: str, days: int) -> tuple[Curve, Markup]:
    """A measure over so many days up to this one, as read and as drawn."""
    zone = view.vocabulary.zone
    found = curve(view.ledger, measure, place, *bounds(view.today - timedelta(days=days - 1), view.today, zone))
    return found, svg(found, _words(found, days, view.speaker(PAGE), view), _scale(measure, view), zone)


def _places(view: View) -> dict[str, list[Latest]]:
    """Each tank and the room with what is read there, in the order of the farm."""
    newest, wanted = water.newest(view.ledger), water.wanted(view.ledger)
    found: dict[str, list[Latest]] = {}
    for place, measures in _others(view).items():
        found[place] = [_latest(view, one, place, newest.get((one, place)), wanted(one, place)) for one in measures]
    return found


def _latest(view: View, measure: str, place: str, read: water.Read | None, wanted: Wanted) -> Latest:
    by = first_name(people.person(view.ledger, read.person_id).name) if read and read.person_id is not None else ""
    verdict = judge(measure, read.value, wanted.range) if read else "fine"
    return Latest(measure, place, read, by, wanted, verdict, read is not None and view.now - read.at > STALE)


def _others(view: View) -> dict[str, list[str]]:
    """What can be read where."""
    reads: dict[str, list[str]] = {}
    for one in MEASURES:
        for place in water.places_of(one, view.vocabulary.tanks):
            reads.setdefault(place, []).append(one)
    return reads


def _alarms(view: View) -> list[tuple[Alarm, Fact, str]]:
    """The open alarms, in words, with who sees to each."""
    found = []
    for one in alarms.open_alarms(view.ledger):
        has = first_name(people.person(view.ledger, one.taken_by).name) if one.taken_by is not None else ""
        found.append((one, alarm_fact(one), has))
    return found


def _heading(view: View) -> Sequence[Heading]:
    return view.kept("heading", lambda: outlooks(view.ledger, view.now, view.vocabulary.zone))


def _probes(view: View) -> Iterator[Probe]:
    for one in probes():
        for tank in view.vocabulary.tanks:
            last = water.last_calibration(view.ledger, one, tank)
            late = overdue_days(one, last.at, view.now) if last else 0
            yield Probe(one, tank, last, is_due(one, last.at if last else None, view.now), max(0, late))


def _scale(measure: str, view: View) -> Scale:
    return FAHRENHEIT if measure.endswith("temp") and view.vocabulary.temperature_unit == "F" else CELSIUS


def _unit(measure: str, view: View) -> str:
    return UNITS.get(measure, f"°{view.vocabulary.temperature_unit}")


def _words(found: Curve, days: int, speaker: PageSpeaker, view: View) -> Words:
    zone = view.vocabulary.zone
    values = [value for _, value in found.points]
    said = "figure_shows" if values else "figure_empty"
    return Words(
        title=speaker.t("figure_title", measure=found.measure, where=found.where, days=days),
        description=speaker.t(
            said,
            n=len(values),
            wanted=range_facts(found.measure, found.wanted),
            least={"measure": found.measure, "value": min(values, default=0.0)},
            most={"measure": found.measure, "value": max(values, default=0.0)},
        ),
        unit=_unit(found.measure, view),
        read=speaker.t("read"),
        wanted=speaker.t("wanted"),
        alarm=speaker.t("alarm"),
        calibrated=speaker.t("calibrated_mark"),
        days=tuple((day, speaker.short_day(day)) for day in days_of(found, zone)),
    )


def _by_day(found: Curve, view: View) -> list[DayRow]:
    """The days on which something was read or done, the newest first."""
    zone, rows = view.vocabulary.zone, []
    calibrated = {local_day(one, zone) for one in found.calibrations}
    spans = [(local_day(start, zone), local_day(end, zone)) for start, end in found.alarms]
    for day in reversed(days_of(found, zone)):
        values = [value for at, value in found.points if local_day(at, zone) == day]
        alarmed = any(start <= day <= end for start, end in spans)
        if values:
            verdict = judge(found.measure, values[-1], found.wanted)
            rows.append(
                DayRow(day, len(values), min(values), max(values), values[-1], verdict, day in calibrated, alarmed)
            )
        elif day in calibrated:
            rows.append(DayRow(day, 0, 0.0, 0.0, 0.0, "fine", True, alarmed))
    return rows
