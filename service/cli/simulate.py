"""Looking ahead: `rowcall forecast` and `simulate`."""

from __future__ import annotations

import json
import sys
from dataclasses import asdict, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import click

from core.books.ledger import Ledger
from core.books.vocabulary import vocabulary
from service.cli.edge import as_day, open_books, the_farm
from service.cli.main import main

if TYPE_CHECKING:
    from core.planning.forecast import Forecast
    from core.planning.growth import Growth
    from core.planning.simulator import Game, Score, Summary

PICTURES = (".svg", ".png", ".pdf")


@main.command()
@click.option("--weeks", default=8, show_default=True, type=click.IntRange(1, 52), help="How many weeks ahead.")
@click.option("--date", "day", help="The farm-local day to look from, 2026-05-02. Today, if left out.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def forecast(weeks: int, day: str | None, as_json: bool) -> None:
    """Show what is likely to be ready to cut, by week and crop: the middle, and a range that holds 4 times in 5."""
    from core.acts.forecast import look_ahead

    with open_books().read() as session:
        farm = the_farm(session)
        words = vocabulary(session, farm.id)
        today = as_day(day) if day else datetime.now(UTC).astimezone(words.zone).date()
        found = look_ahead(Ledger(session, farm.id), words, today, weeks)
    if as_json:
        click.echo(json.dumps(_forecast_record(found), indent=2))
        return
    for line in _forecast_table(found):
        click.echo(line)


def _mondays(found: Forecast) -> list[date]:
    return [found.start + timedelta(weeks=week) for week in range(found.weeks)]


def _forecast_record(found: Forecast) -> list[dict[str, object]]:
    return [
        {"crop": crop, "week_of": monday.isoformat()} | {name: round(value, 1) for name, value in asdict(one).items()}
        for crop in found.draws
        for week, monday in enumerate(_mondays(found))
        for one in [found.of(week, crop)]
    ]


def _forecast_table(found: Forecast) -> list[str]:
    """A row a crop, a column a week; crops of which nothing is likely are left out."""
    head = "week of".ljust(14) + "".join(f"{monday:%b %d}".rjust(14) for monday in _mondays(found))
    rows = [head]
    for crop in (*found.draws, None):
        ranges = [found.of(week, crop) for week in range(found.weeks)]
        if any(one.high for one in ranges):
            cells = [f"{one.middle:.0f} ({one.low:.0f}-{one.high:.0f})".rjust(14) for one in ranges]
            rows.append((crop or "all").replace("_", " ").ljust(14) + "".join(cells))
    return [*rows, "The middle of what is likely; the range in brackets holds 4 times in 5. Week 1 is from today on."]


@main.command()
@click.option(
    "--seasons", default=3, show_default=True, type=click.IntRange(1, 100), help="Seasons played a way of sowing."
)
@click.option("--weeks", default=52, show_default=True, type=click.IntRange(4, 208), help="Length of a season.")
@click.option("--seed", default=1, show_default=True, type=click.IntRange(min=0), help="Of the first season's luck.")
@click.option("--plot", type=click.Path(dir_okay=False, path_type=Path), help="Write a picture: .svg, .png or .pdf.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def simulate(seasons: int, weeks: int, seed: int, plot: Path | None, as_json: bool) -> None:
    """Play seasons of the farm day by day under several ways of sowing, all with the same luck, and compare them."""
    from core.acts.forecast import game, growths
    from core.planning.simulator import POLICIES

    if plot is not None and plot.suffix not in PICTURES:
        raise click.UsageError(f"--plot writes {', '.join(PICTURES)} files; {plot.name!r} ends in none of them")
    with open_books().read() as session:
        farm = the_farm(session)
        words, ledger = vocabulary(session, farm.id), Ledger(session, farm.id)
        year = replace(game(ledger, words, datetime.now(UTC).astimezone(words.zone).date()), weeks=weeks)
        believed = growths(ledger, words)
    if not year.targets:
        raise click.UsageError("there is nothing to grow for: text a target first, like: target 40 romaine a week")
    rounds = [(name, number) for number in range(seed, seed + seasons) for name in POLICIES]
    scores: dict[str, list[Score]] = {name: [] for name in POLICIES}
    with click.progressbar(rounds, label="Playing", file=sys.stderr) as bar:
        for name, number in bar:
            scores[name].append(_season(year, believed, name, number))
    _report(year, scores, as_json)
    if plot is not None:
        from service.season_plot import draw

        draw(farm.name, scores, plot)
        click.echo(f"The picture is in {plot}.", err=True)


def _season(year: Game, believed: dict[str, Growth], policy: str, seed: int) -> Score:
    """One year in which the crops do as one of the ways thought possible: nobody knows the true rates."""
    import numpy as np

    from core.planning.simulator import one_possible, play

    rng = np.random.default_rng([seed, 0])
    natures = {crop: one_possible(growth, rng) for crop, growth in believed.items()}
    return play(year, natures, believed, policy, seed)


def _report(year: Game, scores: dict[str, list[Score]], as_json: bool) -> None:
    from core.planning.simulator import summary

    if as_json:
        click.echo(json.dumps({name: [asdict(one) for one in played] for name, played in scores.items()}, indent=2))
        return
    click.echo(f"{year.weeks} weeks, {len(year.targets)} crops, {year.towers} towers; mean (and spread) of the seasons")
    click.echo(_HEAD)
    for name, played in scores.items():
        click.echo(_line(summary(name, played)))


_COLUMNS = (
    ("targets_met", "targets met", 100, "%"),
    ("given", "given", 100, "%"),
    ("wasted", "wasted/week", 1, ""),
    ("thrown", "thrown/week", 1, ""),
    ("hours", "hours/week", 1, ""),
    ("occupied", "towers full", 100, "%"),
    ("seconds", "seconds", 1, ""),
    ("planning", "of planning", 1, ""),
)
_HEAD = "".ljust(15) + "".join(title.rjust(14) for _, title, _, _ in _COLUMNS)


def _line(one: Summary) -> str:
    cells = []
    for name, _, factor, unit in _COLUMNS:
        mean, spread = one.figures[name]
        about = "" if spread is None else f" ({factor * spread:.1f})"
        cells.append(f"{factor * mean:.1f}{unit}{about}".rjust(14))
    return one.policy.ljust(15) + "".join(cells)
