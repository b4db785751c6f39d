"""Trouble from its report to its close: who is told, who has it, what was said of it since, and that it is over."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from core.acts.scene import Scene
from core.books import people, troubles
from core.books.tables import Farm, TroubleReport, TroubleStep
from core.books.tables.farm import key_of
from core.emergency import emergency_number
from core.errors import Refused
from core.notes import FollowUp, Trouble
from core.outcome import Fact, News, Outcome, fact
from core.people import first_name
from core.trouble import Told, is_same, kinds


def trouble(note: Trouble, scene: Scene) -> Outcome:
    """Something is wrong: kept open under a number and told to who is in charge now, the caution with it.

    A second report of the same trouble is one more voice, and texts nobody anew; from who told of it first, or has it,
    it is how things stand.
    """
    kind = note.kind or "other"
    told = Told(kind, note.where, scene.told.said_at)
    known = [one for one in troubles.open_trouble(scene.ledger) if is_same(told, _told(one))]
    if known:
        return _again(known[0], note, scene)
    n = scene.ledger.number("trouble")
    writing = scene.enter(note)
    writing.record(
        TroubleReport, n=n, kind=kind, places=list(note.where), crop=note.crop, at=told.at,
        person_id=scene.told.person_id,
    )  # fmt: skip
    first = next(iter(troubles.in_charge(scene.ledger, kind, told.at, scene.told.person_id)), ())
    what = {"n": n, "kind": kind, "places": note.where, "crop": note.crop}
    news = _tell(fact("news_trouble", who=scene.name, **what), first, scene, urgent=kinds()[kind].urgent)
    said = fact("trouble", to=_names(first, scene), **what)
    nobody = () if first else (fact("trouble_nobody"),)
    before, after = _cautions(kind, scene)
    return Outcome((said,), (*after, *nobody), entry=writing.n, news=news, first=before)


def _told(one: TroubleReport) -> Told:
    return Told(one.kind, tuple(one.places), one.at)


def _cautions(kind: str, scene: Scene) -> tuple[tuple[Fact, ...], tuple[Fact, ...]]:
    """What is said before and after the record: of a danger to people first of all; a minor is sent to an adult."""
    row = kinds()[kind]
    minor = row.adults and scene.actor is not None and not scene.actor.grown_up
    farm = scene.ledger.session.get_one(Farm, scene.ledger.farm_id)
    number = emergency_number(farm.timezone, farm.emergency)
    said = (fact(f"caution_{row.caution}", number=number),) if row.caution else ()
    if row.everyone:
        return (*said, *((fact("caution_tell_adult"),) if minor else ())), ()
    return (), ((fact("caution_step_away"),) if minor else said)


def _again(one: TroubleReport, note: Trouble, scene: Scene) -> Outcome:
    """A trouble that is known already, told of once more."""
    mine = scene.told.person_id in (*troubles.reporters(scene.ledger, one), one.taken_by)
    writing = scene.enter(note)
    writing.record(
        TroubleStep, n=one.n, step="still" if mine else "same", at=scene.told.said_at, person_id=scene.told.person_id
    )
    if note.where and not one.places:
        writing.put(TroubleReport, key_of(one), places=list(note.where))
    before, after = _cautions(one.kind, scene)
    if mine:
        told = fact("news_trouble_still", who=scene.name, **_what(one))
        news = _tell(told, _seeing_to(one, scene), scene, urgent=kinds()[one.kind].urgent)
        return Outcome((fact("trouble_still", **_what(one)),), entry=writing.n, news=news, first=before)
    by = _names(troubles.reporters(scene.ledger, one)[:1], scene)
    said = fact("trouble_same", by=by, at=one.at, has=_has(one, scene), **_what(one))
    return Outcome((said,), after, entry=writing.n, first=before)


def follow_up(note: FollowUp, scene: Scene) -> Outcome:
    """Somebody sees to a trouble, tells how it stands, shows it, or says that it is over.

    Raises:
        Refused: "no_such_trouble", "trouble_closed", "trouble_taken" or "trouble_for_adults".
    """
    one = troubles.report(scene.ledger, note.n or 0)
    if one is None:
        raise Refused("no_such_trouble", n=note.n)
    if not one.open:
        raise Refused("trouble_closed", at=one.closed_at, who=_names((one.closed_by,), scene), **_what(one))
    changes: dict[str, Any] = {}
    if note.step == "take":
        changes = _taking(one, scene)
        if not changes:
            return Outcome((fact("trouble_yours", **_what(one)),))
    elif note.step == "fixed":
        changes = {"open": False, "closed_by": scene.told.person_id, "closed_at": scene.told.said_at}
    hear = _hear_of(note.step, one, scene)
    writing = scene.enter(note)
    writing.record(TroubleStep, n=one.n, step=note.step, at=scene.told.said_at, person_id=scene.told.person_id)
    if changes:
        writing.put(TroubleReport, key_of(one), **changes)
    told = fact(f"news_trouble_{note.step}", who=scene.name, **_what(one))
    urgent = kinds()[one.kind].urgent and note.step == "still"
    news = _tell(told, hear, scene, urgent=urgent)
    return Outcome((fact(f"trouble_{note.step}", **_what(one)),), entry=writing.n, news=news)


def _taking(one: TroubleReport, scene: Scene) -> dict[str, Any]:
    """What changes when the sender takes a trouble on; nothing where they have it already."""
    if one.taken_by == scene.told.person_id:
        return {}
    if one.taken_by is not None:
        raise Refused("trouble_taken", who=_names((one.taken_by,), scene), at=one.taken_at, **_what(one))
    if kinds()[one.kind].adults and scene.actor is not None and not scene.actor.grown_up:
        raise Refused("trouble_for_adults", **_what(one))
    return {"taken_by": scene.told.person_id, "taken_at": scene.told.said_at}


def _hear_of(step: str, one: TroubleReport, scene: Scene) -> Iterable[int]:
    """Who hears of a step: whoever sees to the trouble of how it stands; all who know of it of the rest."""
    if step in ("still", "photo"):
        return _seeing_to(one, scene)
    return dict.fromkeys((*troubles.reporters(scene.ledger, one), *told_of(one, scene, scene.told.said_at)))


def _seeing_to(one: TroubleReport, scene: Scene) -> tuple[int, ...]:
    """Who has a trouble; where nobody has, who was told at once."""
    if one.taken_by is not None:
        return (one.taken_by,)
    return next(iter(troubles.in_charge(scene.ledger, one.kind, one.at, one.person_id)), ())


def told_of(one: TroubleReport, scene: Scene, until: datetime) -> tuple[int, ...]:
    """Who was told of a trouble by a moment: those told at once, the next while nobody had it, and who has it."""
    order = troubles.in_charge(scene.ledger, one.kind, one.at, one.person_id)
    last = min(at for at in (one.taken_at, until) if at is not None)
    waves = int((last - one.at) / kinds()[one.kind].next_after) + 1
    has = () if one.taken_by is None else (one.taken_by,)
    return tuple(dict.fromkeys((*(who for wave in order[:waves] for who in wave), *has)))


def taken_back(entry: int, scene: Scene) -> tuple[News, ...]:
    """What those who were told hear when a report is taken back; asked before it is.

    Raises:
        Refused: "trouble_followed" where others have said something of it since.
    """
    one = troubles.by_entry(scene.ledger, entry)
    if one is None:
        return ()
    if any(step.person_id != scene.told.person_id for step in troubles.steps(scene.ledger, one.n)):
        raise Refused("trouble_followed", **_what(one))
    told = fact("news_trouble_off", who=scene.name, **_what(one))
    return _tell(told, told_of(one, scene, scene.told.said_at), scene, urgent=kinds()[one.kind].urgent)


def step_taken_back(note: FollowUp, scene: Scene) -> tuple[News, ...]:
    """What those who heard of a step hear when it is taken back."""
    one = troubles.report(scene.ledger, note.n or 0)
    if one is None or note.step not in ("take", "fixed"):
        return ()
    told = fact(f"news_trouble_{note.step}_off", who=scene.name, **_what(one))
    return _tell(told, _hear_of(note.step, one, scene), scene, urgent=kinds()[one.kind].urgent)


def _what(one: TroubleReport) -> dict[str, Any]:
    return {"n": one.n, "kind": one.kind, "places": tuple(one.places), "crop": one.crop}


def _has(one: TroubleReport, scene: Scene) -> tuple[str, ...]:
    return _names((one.taken_by,), scene)


def _names(person_ids: Iterable[int | None], scene: Scene) -> tuple[str, ...]:
    return tuple(first_name(people.person(scene.ledger, one).name) for one in person_ids if one is not None)


def _tell(told: Fact, readers: Iterable[int], scene: Scene, *, urgent: bool) -> tuple[News, ...]:
    return tuple(News(told, person_id=one, urgent=urgent) for one in readers if one != scene.told.person_id)
