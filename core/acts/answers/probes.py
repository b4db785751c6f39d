"""Which probes are due for calibration, and how one has done."""

from __future__ import annotations

from core.acts.scene import Scene
from core.books import water
from core.books.tables import Calibration
from core.calibration import Result, drift, is_due, judge, probes
from core.notes import Ask
from core.outcome import Fact, Outcome, fact

TIMES_TOLD = 3


def calibration(note: Ask, scene: Scene) -> Outcome:
    """What is due; of one probe of one tank, when it was calibrated last and how it has moved."""
    if note.measure in probes() and note.where in scene.vocabulary.tanks:
        return Outcome(_history(str(note.measure), str(note.where), scene))
    due = []
    for measure in (note.measure,) if note.measure in probes() else probes():
        for where in (note.where,) if note.where in scene.vocabulary.tanks else tuple(scene.vocabulary.tanks):
            last = water.last_calibration(scene.ledger, str(measure), str(where))
            if is_due(str(measure), last.at if last else None, scene.told.said_at):
                at = last.at.astimezone(scene.vocabulary.zone).date() if last else None
                due.append(fact("probe_last", measure=measure, where=where, at=at))
    return Outcome((fact("probes_due", probes=tuple(due)) if due else fact("no_probe_due"),))


def _history(measure: str, where: str, scene: Scene) -> tuple[Fact, ...]:
    rows = water.calibrations(scene.ledger, measure, where, TIMES_TOLD)
    if not rows:
        return (fact("never_calibrated", measure=measure, where=where),)
    told = fact("probe_history", measure=measure, where=where, times=tuple(_time(one, scene) for one in rows))
    measured = [one for one in rows if one.slope_pct is not None]
    return (told, *_drift(measured[0], measured[1])) if len(measured) > 1 else (told,)


def _time(one: Calibration, scene: Scene) -> Fact:
    return fact(
        "probe_time",
        at=one.at.astimezone(scene.vocabulary.zone).date(),
        slope=None if one.slope_pct is None else round(one.slope_pct),
        offset=None if one.offset_mv is None else round(one.offset_mv),
        verdict=f"probe_{one.verdict}" if one.verdict else None,
    )


def _drift(newest: Calibration, before: Calibration) -> tuple[Fact, ...]:
    """How the probe moved between its last two calibrations that were measured."""
    days = (newest.at - before.at).total_seconds() / 86400
    if days <= 0:
        return ()
    slope, offset = drift(_result(before), _result(newest), days)
    moved = None if offset is None else f"{offset:+.1f}"
    return (fact("probe_drift", slope=f"{slope:+.1f}", offset=moved),)


def _result(one: Calibration) -> Result:
    slope = float(one.slope_pct or 0)
    return Result(slope, one.offset_mv, judge(one.measure, slope, one.offset_mv))
