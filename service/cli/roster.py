"""The roster at the desk: `rowcall roster` and `minors-per-adult`."""

from __future__ import annotations

import json
import secrets
from collections.abc import Iterator
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

import click
from sqlmodel import Session

from core.acts.scene import Scene
from core.books import people
from core.books.ledger import Ledger
from core.books.tables import Farm, Person
from core.books.vocabulary import vocabulary
from core.errors import Refused
from service.cli.edge import as_day, as_instant, open_books, the_farm
from service.cli.main import main
from service.settings import settings

if TYPE_CHECKING:
    from core.acts.rostering import Proposal
    from core.shifts.why import Open
    from service.conversation.desk import Desk

SOLVE_LIMIT_S = 10.0

WHY = {
    "not_able": "did not say they can come, or cannot",
    "unsafe": "minors, and the work is for adults",
    "needs_adult": "minors, and there would be too few adults",
    "clash": "have a shift too near",
    "day_full": "have their hours of the day",
    "week_full": "have their hours of the week",
    "shifts_full": "come as often as they like",
}
FAVOUR = {
    "come": "to come",
    "adult": "to come as the adult that minors wait for",
    "longer_day": "to work longer that day",
    "longer_week": "to work longer that week",
    "one_more": "for one shift more than they like",
    "bring_skill": "to come with the skill that is missing",
}


@main.command()
@click.option("--week", "day", help="A day of the week that is meant, 2026-05-11. Next week, if left out.")
@click.option("--publish", is_flag=True, help="Write it down and text everybody their shifts.")
@click.option("--at", help="The moment to make it from, 2026-05-04T09:10, farm-local. Now, if left out.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def roster(day: str | None, publish: bool, at: str | None, as_json: bool) -> None:
    """Make the roster of a week: who has which shift, what stays open, why, and who could be asked."""
    try:
        with open_books().write() as session:
            desk = _desk(session, at)
            made = _made(desk, as_day(day, "--week") if day else None, publish=publish)
            lines = [_record(made, desk.scene(), publish)] if as_json else list(_page(made, desk.scene()))
    except Refused as refused:
        raise click.ClickException(REFUSALS[refused.kind].format(**refused.values)) from None
    click.echo(json.dumps(lines[0], indent=2) if as_json else "\n".join(map(str, lines)))
    if publish and not as_json:
        click.echo("It is written down, and everybody on it is texted their shifts.")


REFUSALS = {
    "roster_past": "The week of {day} is over.",
    "roster_empty": "There are no shifts and no work to fill in the week of {day}.",
}


@main.command("minors-per-adult")
@click.argument("most", type=click.IntRange(0, 10))
def minors_per_adult(most: int) -> None:
    """From now on, at most MOST minors for each adult on a shift (0: no minors at all)."""
    with open_books().write() as session:
        the_farm(session).minors_per_adult = most
    click.echo(f"At most {most} minors for each adult on a shift. Shifts published before are as they were.")


def _made(desk: Desk, day: date | None, *, publish: bool) -> Proposal:
    """The roster made and kept; published besides where that is wanted."""
    from core.acts.rostering import keep, propose, publish_roster, week_meant
    from service.conversation import news

    scene = desk.scene()
    made = propose(scene, week_meant(day, scene.day), SOLVE_LIMIT_S)
    if publish:
        news.tell(desk, publish_roster(made, scene).news)
    else:
        keep(scene, made, {}, published=False)
    return made


def _desk(session: Session, at: str | None) -> Desk:
    """What is published at the desk is published by the coordinator, who can take it back by text."""
    from service.conversation.desk import Desk
    from service.tables import Inbound

    farm = the_farm(session)
    words = vocabulary(session, farm.id)
    now = as_instant(at, words.zone).astimezone(UTC) if at else datetime.now(UTC)
    person = _coordinator(session, farm)
    form = Inbound(
        farm_id=farm.id, id=f"desk:{secrets.token_hex(8)}", carrier=settings().carrier, phone=person.phone or "",
        person_id=person.id, body="", media=[], sent_at=now, received_at=now,
    )  # fmt: skip
    return Desk(session, farm, words, person, form, now, person.language)


def _coordinator(session: Session, farm: Farm) -> Person:
    found = people.crew(Ledger(session, farm.id), "coordinator")
    if not found:
        raise click.ClickException("This farm has no coordinator, who has to answer for a roster.")
    return found[0]


def _page(made: Proposal, scene: Scene) -> Iterator[str]:
    yield f"Week of {made.week.monday:%a %b %d}: {len(made.roster.places)} of {made.needed} places filled"
    for shift in sorted(made.week.problem.shifts, key=lambda one: (one.starts_at, one.id)):
        on = made.roster.on(shift.id)
        names = ", ".join(_name(who, scene) for who in sorted(on)) or "nobody"
        slot = made.week.slots[shift.id]
        work = f"{slot.minutes} min of work" + (f", {', '.join(slot.skills)}" if slot.skills else "")
        new = "" if shift.id in made.week.booked else ", new"
        yield (
            f"  {shift.starts_at:%a %b %d %H:%M}-{shift.ends_at:%H:%M}  {len(on)} of {shift.needed}  {names} "
            f"({work}{new})"
        )
    for one in made.open:
        yield from _why(one, scene)
    proof = made.roster
    yield (
        f"Made in {proof.seconds:.2f} s: cost {proof.cost:.1f}, no roster is below {proof.bound:.1f} "
        f"(gap {100 * proof.gap:.2f} %)."
    )


def _why(one: Open, scene: Scene) -> Iterator[str]:
    lacks = f"{one.missing} too few" if one.missing else f"nobody trained: {one.skill}"
    yield f"Open: {one.shift.starts_at:%a %b %d %H:%M}, {lacks}."
    for why, count in one.reasons.items():
        yield f"  {WHY[why]}: {count}"
    for ask in one.asks:
        yield f"  {_name(ask.worker, scene)} could be asked {FAVOUR[ask.favour]}."


def _name(who: int, scene: Scene) -> str:
    return people.person(scene.ledger, who).name


def _record(made: Proposal, scene: Scene, published: bool) -> dict[str, Any]:
    """The whole roster for programs; instants with their offset."""
    why = {one.shift.id: one for one in made.open}
    proof = made.roster
    return {
        "week": made.week.monday.isoformat(),
        "published": published,
        "shifts": [
            {
                "id": shift.id,
                "starts_at": shift.starts_at.isoformat(),
                "ends_at": shift.ends_at.isoformat(),
                "needed": shift.needed,
                "people": [_name(who, scene) for who in sorted(proof.on(shift.id))],
                "minutes": made.week.slots[shift.id].minutes,
                "skills": list(made.week.slots[shift.id].skills),
                "adults_only": shift.unsafe,
                "missing": proof.open.get(shift.id, 0),
                "reasons": dict(why[shift.id].reasons) if shift.id in why else {},
                "asks": [[_name(ask.worker, scene), ask.favour] for ask in why[shift.id].asks]
                if shift.id in why
                else [],
            }
            for shift in made.week.problem.shifts
        ],
        "cost": proof.cost,
        "bound": proof.bound,
        "gap": proof.gap,
        "seconds": proof.seconds,
    }
