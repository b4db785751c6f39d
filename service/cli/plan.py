"""The sowing plan at the desk: `rowcall plan`."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict
from datetime import UTC, datetime, time, timedelta
from typing import TYPE_CHECKING, Any

import click
from sqlmodel import Session

from core.acts import Scene
from core.books.ledger import Ledger, Told
from core.books.vocabulary import vocabulary
from core.calendar import instant
from service.cli.edge import as_day, open_books, the_farm
from service.cli.main import main

if TYPE_CHECKING:
    from core.notes import WhatIf
    from core.planning.changes import Difference
    from core.planning.model import Plan, Problem
    from core.planning.wishes import Reasons

COLUMN = 7
WORTH_SAYING = 0.5
"""Heads; less is rounding."""


@main.command()
@click.option("--weeks", default=8, show_default=True, type=click.IntRange(1, 26), help="How many weeks to show.")
@click.option("--date", "day", help="The farm-local day to plan from, 2026-05-02. Today, if left out.")
@click.option("--what-if", "supposed", help='Show what a change would come to: "row C out next month".')
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def plan(weeks: int, day: str | None, supposed: str | None, as_json: bool) -> None:
    """Plan the sowing and keep the plan, with its proof; or show what would come of a change and keep nothing."""
    from core.acts.planning import keep, problem_of
    from core.planning.sowing_plan import plan as best
    from core.planning.wishes import reasons

    books = open_books()
    with books.read() as session:
        scene = _scene(session, day)
        problem = problem_of(scene.ledger, scene.vocabulary, scene.day)
        if supposed is not None:
            _suppose(supposed, scene, problem, as_json)
            return
    made = best(problem)  # nobody who texts waits for it
    with books.write() as session:
        keep(_scene(session, day).ledger, problem.today, made)
    found = reasons(problem, made)
    if as_json:
        click.echo(json.dumps(_record(problem, made, found), indent=2))
        return
    for line in (*_sowing(made, weeks), "", *_proof(made), *_why(problem, made, found)):
        click.echo(line)


def _scene(session: Session, day: str | None) -> Scene:
    """The farm as it stands, on a day at noon or now."""
    farm, now = the_farm(session), datetime.now(UTC)
    words = vocabulary(session, farm.id)
    at = instant(as_day(day), time(12), words.zone) if day else now
    return Scene(Ledger(session, farm.id), words, Told(None, at, now))


def _suppose(text: str, scene: Scene, problem: Problem, as_json: bool) -> None:
    from core.acts.answers.supposed import change_of
    from core.planning.changes import what_if

    note = _understood(text, scene)
    scene.check_places(note.places)
    change = change_of(note, scene)
    if change is None:
        raise click.UsageError(
            f'--what-if {text!r} is not understood; write it like "row C out next month", "we close next week", '
            '"we lose B1-B4", "we double the kale" or "we grow 20 basil a week"'
        )
    _, after, found = what_if(problem, change)
    if as_json:
        click.echo(json.dumps(asdict(found) | {"gap": after.gap}, indent=2))
        return
    for line in _difference(found):
        click.echo(line)


def _understood(text: str, scene: Scene) -> WhatIf:
    """What is supposed, read as if it had been texted."""
    from core.notes import WhatIf
    from service.understanding import understand

    sent = scene.told.said_at.astimezone(scene.vocabulary.zone)
    notes = understand(f"what if {text}", sent=sent, sender="", vocabulary=scene.vocabulary).notes
    return next((one for one in notes if isinstance(one, WhatIf)), WhatIf())


def _sowing(made: Plan, weeks: int) -> Iterator[str]:
    """Plugs to sow, a row a crop, a column a week; what is expected to be cut below."""
    shown = range(min(weeks, made.weeks))
    mondays = [made.start + timedelta(weeks=week) for week in shown]
    yield "Plugs to sow, week of".ljust(22) + "".join(f"{monday:%b %d}".rjust(COLUMN) for monday in mondays)
    for crop, row in made.sow.items():
        yield _row(crop, [f"{row[week]}" if row[week] else "." for week in shown])
    yield "Expected to be cut".ljust(22)
    for crop, cut in made.heads.items():
        yield _row(crop, [f"{cut[week]:.0f}" for week in shown])
    yield "Taken on the fullest day"
    for name, taken in (("domes, cells", made.cover), ("shelves, cells", made.shelf), ("towers, sites", made.tower)):
        yield _row(name, [f"{taken[week]:.0f}" for week in shown])
    yield _row("minutes of work", [f"{made.minutes[week]:.0f}" for week in shown])


def _row(name: str, cells: list[str]) -> str:
    return f"  {name.replace('_', ' '):20}" + "".join(cell.rjust(COLUMN) for cell in cells)


def _proof(made: Plan) -> Iterator[str]:
    yield (
        f"{made.weeks} weeks planned in {made.seconds:.1f} s: cost {made.cost:.1f}, no plan is below {made.bound:.1f} "
        f"(gap {100 * made.gap:.2f} %)."
    )


def _why(problem: Problem, made: Plan, found: Reasons) -> Iterator[str]:
    """What is short, why, and what would help."""
    if not made.wanted_short:
        yield "All targets can be met."
    for crop in made.sow:
        weeks = [one for one in made.wanted_short if one.demand.crop == crop and one.heads >= WORTH_SAYING]
        if weeks:
            said = ", ".join(f"{one.heads:.0f} in the week of {problem.monday(one.demand.week):%b %d}" for one in weeks)
            yield f"Short of {_name(crop)}: {said}."
    for late in found.late:
        when = f"sown now it is cut from {late.ready:%b %d}, it had to be sown by {late.sow_by:%b %d}"
        yield f"  Too late to mend for {_name(late.crop)}: {when}."
    for help in found.helps:
        yield f"  {help.amount:.0f} more {_UNITS[help.what]} would give {help.heads:.0f} more."
    if found.crop_less is not None:
        yield f"  Without {_name(found.crop_less.crop)} the others would have {found.crop_less.heads:.0f} more."


_UNITS = {
    "tower": "tower sites",
    "shelf": "cells on the shelves",
    "cover": "cells under the domes",
    "minutes": "minutes a week",
}


def _difference(found: Difference) -> Iterator[str]:
    if not (found.plugs_now or found.heads or found.missing or found.given_up >= 1):
        yield "The plan stays as good as it is."
    for crop, heads in found.missing.items():
        yield f"{_name(crop)}: {abs(heads):.0f} {'more' if heads > 0 else 'less'} short over the plan."
    for crop, heads in found.heads.items():
        yield f"{_name(crop)}: {abs(heads):.0f} {'more' if heads > 0 else 'less'} cut over the plan."
    for crop, plugs in found.plugs_now.items():
        yield f"{_name(crop)}: {abs(plugs)} plugs {'more' if plugs > 0 else 'less'} this week."
    if found.given_up >= 1:
        yield f"{found.given_up:.0f} plants that stand find no place."


def _name(crop: str) -> str:
    return crop.replace("_", " ")


def _record(problem: Problem, made: Plan, found: Reasons) -> dict[str, Any]:
    """The whole plan for programs: days as ISO dates, standing plants by crop and place."""
    return {
        "start": made.start.isoformat(),
        "weeks": made.weeks,
        "sow": {crop: list(row) for crop, row in made.sow.items()},
        "heads": {crop: [round(one, 2) for one in row] for crop, row in made.heads.items()},
        "surplus": {crop: [round(one, 2) for one in row] for crop, row in made.surplus.items()},
        "short": [
            {
                "crop": one.demand.crop,
                "week_of": problem.monday(one.demand.week).isoformat(),
                "heads": round(one.heads, 2),
            }
            for one in made.wanted_short
        ],
        "taken": {
            name: [round(one, 1) for one in getattr(made, name)] for name in ("cover", "shelf", "tower", "minutes")
        },
        "cost": made.cost,
        "bound": made.bound,
        "gap": made.gap,
        "seconds": made.seconds,
        "parts": dict(made.parts),
        "too_late": [
            {"crop": one.crop, "heads": one.heads, "ready": one.ready.isoformat(), "sow_by": one.sow_by.isoformat()}
            for one in found.late
        ],
        "helps": [asdict(one) for one in found.helps],
        "crop_less": asdict(found.crop_less) if found.crop_less else None,
    }
