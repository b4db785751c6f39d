"""A probe calibrated: led through by text, one step a text, or only reported; slope, offset and verdict are kept."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from core.acts.done_tasks import settle
from core.acts.scene import Scene
from core.books.tables import Calibration, ProbeRun
from core.books.water import last_calibration
from core.calibration import MixedFigures, Result, Run, judge, overdue_days, probes, result_of
from core.errors import OutOfRange
from core.notes import Calibrate, Calibrated
from core.outcome import Fact, Outcome, fact

RUN_LIVES = timedelta(hours=12)
"""A calibration left for longer is begun anew: the meter has been switched off since. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Shown:
    """What a probe showed: pH, mV or uS/cm, whether mV was said, and the standard's temperature where it was. [degC]"""

    value: float
    millivolts: bool = False
    temp_c: float | None = None


def calibrated(note: Calibrated, scene: Scene) -> Outcome:
    """A probe was calibrated; with what it showed where somebody was led through it."""
    writing = scene.enter(note)
    verdict = judge(str(note.measure), note.slope_pct, note.offset_mv) if note.slope_pct is not None else None
    writing.record(
        Calibration, measure=note.measure, tank=note.where, at=scene.at, slope_pct=note.slope_pct,
        offset_mv=note.offset_mv, verdict=verdict, standards=list(note.standards) or None,
        shown=list(note.shown) or None,
    )  # fmt: skip
    if note.measure == "ph":
        settle(scene, writing, "calibrate", None, [note.where] if note.where else list(scene.vocabulary.tanks))
    said = fact("calibrated", measure=note.measure, where=note.where)
    if verdict is None or note.slope_pct is None:
        return Outcome((said,), entry=writing.n)
    offset = None if note.offset_mv is None else round(note.offset_mv)
    found = fact(f"probe_{verdict}", last=round(note.standards[-1], 2), slope=round(note.slope_pct), offset=offset)
    return Outcome((said,), (found,), entry=writing.n)


def calibrate(note: Calibrate, scene: Scene) -> Outcome:
    """Begin a calibration, or go on with the one that was left."""
    measure, where = str(note.measure), str(note.where)
    if measure not in probes():
        return Outcome((fact("not_calibrated_here", measure=measure),))
    if scene.told.person_id is None:
        return Outcome((fact("not_calibrated_here", measure=measure),))
    row = under_way(scene)
    if row is not None and (row.measure, row.tank) == (measure, where):
        row.asked_at, row.aside = scene.told.now, False
        return Outcome((fact("calibration_again", measure=measure, where=where), _asks(row)))
    leave(scene)
    row = ProbeRun(
        farm_id=scene.ledger.farm_id, person_id=scene.told.person_id, measure=measure, tank=where,
        shown=[], standards=[], asked_at=scene.told.now,
    )  # fmt: skip
    scene.ledger.session.add(row)
    return Outcome((_asks(row),))


def under_way(scene: Scene) -> ProbeRun | None:
    """The calibration that the sender has begun, if it is not too long ago."""
    if scene.told.person_id is None:
        return None
    row = scene.ledger.session.get(ProbeRun, (scene.ledger.farm_id, scene.told.person_id))
    return row if row is not None and scene.told.now - row.asked_at <= RUN_LIVES else None


def set_aside(row: ProbeRun, now: datetime) -> None:
    """Leave a calibration for later; "calibrate main ph" takes it up where it was."""
    row.aside, row.asked_at = True, now


def leave(scene: Scene) -> None:
    """Forget the calibration that the sender has begun."""
    row = scene.ledger.session.get(ProbeRun, (scene.ledger.farm_id, scene.told.person_id))
    if row is not None:
        scene.ledger.session.delete(row)
        scene.ledger.session.flush()


def step(row: ProbeRun, shown: Shown | None, now: datetime) -> tuple[Fact, ...] | Calibrated:
    """The next step of a calibration, after one was done (`shown` None) or the probe showed something.

    Returns:
        What to say next, or the finished calibration, to be recorded.
    """
    run = _run(row)
    if shown is None and run.step == "show":
        return (_asks(row),)
    row.asked_at = now
    try:
        if run.step != "show":
            run = run.go_on()  # a figure says that the step before it was done
        if shown is not None:
            warmth = row.temp_c if shown.temp_c is None else shown.temp_c
            run = run.show(shown.value, warmth, millivolts=shown.millivolts)
            row.temp_c = warmth
    except MixedFigures:
        _keep(row, Run(row.measure))
        return (fact("probe_mixed"), _asks(row))
    except OutOfRange:
        return (fact("probe_odd", standard=_named(_run(row))), _asks(row))
    _keep(row, run)
    return (_asks(row),) if run.step is not None else _finished(row, run, result_of(run, row.temp_c))


def _keep(row: ProbeRun, run: Run) -> None:
    row.done, row.shown, row.standards, row.millivolts = run.done, list(run.shown), list(run.standards), run.millivolts


def _finished(row: ProbeRun, run: Run, found: Result) -> Calibrated:
    return Calibrated(
        measure=row.measure, where=row.tank, slope_pct=round(found.slope_pct, 1),
        offset_mv=None if found.offset_mv is None else round(found.offset_mv, 1),
        standards=run.standards, shown=run.shown,
    )  # fmt: skip


def _run(row: ProbeRun) -> Run:
    return Run(row.measure, row.done, tuple(row.shown), tuple(row.standards), row.millivolts)


def _asks(row: ProbeRun) -> Fact:
    """What is to be done at the step that is next."""
    run = _run(row)
    true = run.standard.at(row.temp_c)
    last = round(run.standards[-1], 2) if run.standards else None
    return fact(f"probe_{run.step}_{row.measure}", where=row.tank, standard=_named(run), true=round(true, 2), last=last)


def _named(run: Run) -> str:
    return run.standard.name


def remarks(measure: str, where: str, scene: Scene) -> tuple[Fact, ...]:
    """What to know of the probe that a reading came from: that its calibration is late, or that it did badly."""
    if measure not in probes():
        return ()
    last = last_calibration(scene.ledger, measure, where)
    if last is None:
        return ()
    if last.verdict == "bad":
        return (fact("reading_bad_probe", measure=measure, where=where),)
    late = overdue_days(measure, last.at, scene.at)
    return (fact("reading_late_probe", measure=measure, where=where, n=late),) if late > 0 else ()
