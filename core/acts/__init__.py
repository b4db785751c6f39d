"""What can be done on the farm: one short function an act, listed in one table that phone, board and command share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from core.acts import (
    alarms,
    calibrating,
    cleaning,
    coordinating,
    crew,
    crops,
    dosing,
    giving,
    harvest,
    hours,
    moving,
    people,
    places,
    ranges,
    readings,
    rostering,
    sowing,
    supplies,
    tasks,
    trouble,
    water,
    wishing,
)
from core.acts.answers import answer
from core.acts.answers.supposed import supposed
from core.acts.correct import correct
from core.acts.scene import Scene
from core.acts.speaking import speaking
from core.notes import Ask, Correct, Note
from core.outcome import Outcome, fact
from core.people import first_name

ACTS: dict[str, Callable[[Any, Scene], Outcome]] = {
    "harvest": harvest.harvest,
    "loss": moving.loss,
    "sow": sowing.sow,
    "stand": sowing.stand,
    "move": moving.move,
    "clean": cleaning.clean,
    "use": places.use,
    "crop": crops.describe,
    "reading": readings.reading,
    "set_range": ranges.set_range,
    "take_alarm": alarms.take,
    "quiet_alarm": alarms.quiet,
    "added": water.added,
    "calibrated": calibrating.calibrated,
    "calibrate": calibrating.calibrate,
    "want": dosing.want,
    "reckon": dosing.reckon,
    "what_if": supposed,
    "trouble": trouble.trouble,
    "follow_up": trouble.follow_up,
    "free": crew.free,
    "busy": crew.busy,
    "shift": crew.shift,
    "arrive": hours.arrive,
    "leave": hours.leave,
    "hours": hours.hours,
    "approve": hours.approve,
    "task": tasks.task,
    "stock": supplies.stock,
    "gave": giving.gave,
    "announce": coordinating.announce,
    "target": coordinating.target,
    "person": coordinating.add_person,
    "closed": coordinating.closed,
    "trained": people.trained,
    "pause": people.pause,
    "leave_crew": people.leave_crew,
    "remove": people.remove,
    "give_role": people.give_role,
    "number": people.other_number,
    "reminding": people.reminding,
    "roster": rostering.make_roster,
    "wish": wishing.wish,
}
"""Kind of note -> what it does. Corrections and questions are carried out by `carry_out` itself."""

LONG_AGO_DAYS = 30
"""What is told of a day longer ago than this is doubted. Common practice, no source."""


def carry_out(note: Note, scene: Scene) -> Outcome:
    """Do what a note says, in the scene's unit of work, or answer with the doubts that stop it.

    Raises:
        Refused: it cannot be done, or not by them; the caller leaves its unit of work without writing.
    """
    scene = speaking(note, scene)
    if isinstance(note, Correct):
        return correct(note, scene, carry_out)
    if isinstance(note, Ask):
        return answer(note, scene.told, scene.ledger, scene.vocabulary)
    days_ago = (scene.said_on - scene.day).days
    if days_ago > LONG_AGO_DAYS and not scene.sure:
        return Outcome(doubts=(fact("doubt_long_ago", day=scene.day),))
    outcome = ACTS[note.act](note, scene)
    if scene.told.for_id is not None and not outcome.doubts:
        outcome = replace(outcome, whom=first_name(scene.name))
    if days_ago == 0 or outcome.doubts:
        return outcome
    return replace(outcome, remarks=(fact("booked_on", day=scene.day), *outcome.remarks))


__all__ = ["ACTS", "Scene", "carry_out"]
