"""A calibration under way: the texts that answer its steps, "OK" or a figure, and the one that leaves it for later."""

from __future__ import annotations

import re

from core.acts import calibrating
from core.books.tables import ProbeRun
from core.notes import Calibrated
from core.outcome import fact
from core.units import convert
from service.conversation.desk import Desk
from service.conversation.pending import Waiting
from service.conversation.recording import Recorder
from service.understanding.reading import TextReading
from service.words import heard

SHOWN = re.compile(
    r"(?:ok\W+)?(?P<value>-?\d+(?:[.,]\d+)?)\s*(?P<unit>mv|ms(?:/cm)?|us(?:/cm)?|µs(?:/cm)?|ph)?"
    r"(?:\W+(?:at|a|en)?\W*(?P<temp>\d+(?:[.,]\d+)?)\s*°?\s*(?P<scale>[fc])?)?\W*"
)
MILLISIEMENS_BELOW = 20
"""A bare EC below this is in mS/cm, as in readings."""


def stepped(desk: Desk) -> bool:
    """Whether the text belonged to the sender's calibration; what it comes to is said or recorded."""
    row = calibrating.under_way(desk.scene())
    question = desk.question()
    if row is None or (question is not None and question.asked_at > row.asked_at):
        return False
    said = " ".join(desk.inbound.body.casefold().split()).strip(" .!")
    if said in heard("step_later"):
        calibrating.set_aside(row, desk.now)
        desk.say(fact("calibration_left", where=row.tank, measure=row.measure))
        return True
    shown = SHOWN.fullmatch(said)
    if row.aside or (shown is None and said not in heard("step_done")):
        return False
    came = calibrating.step(row, _figures(shown, row, desk) if shown else None, desk.now)
    if isinstance(came, Calibrated):
        calibrating.leave(desk.scene())
        desk.inbound.reading = TextReading("record", (came,)).record()
        Recorder(desk).work_off([Waiting(came)])
    else:
        desk.say(*came)
    return True


def _figures(shown: re.Match[str], row: ProbeRun, desk: Desk) -> calibrating.Shown:
    """What the probe showed, in pH, mV or uS/cm, and the temperature where it was said."""
    value = float(shown["value"].replace(",", "."))
    small = row.measure == "ec" and value < MILLISIEMENS_BELOW and not (shown["unit"] or "").startswith(("u", "µ"))
    value = convert(value, "mS/cm", "uS/cm") if small else value
    millivolts = shown["unit"] == "mv"
    if shown["temp"] is None:
        return calibrating.Shown(value, millivolts)
    scale = (shown["scale"] or desk.vocabulary.temperature_unit).upper()
    warmth = convert(float(shown["temp"].replace(",", ".")), f"deg{scale}", "degC")
    return calibrating.Shown(value, millivolts, round(warmth, 1))
