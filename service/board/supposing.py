"""What if: a question in the words people would text, the plan with it beside the plan as it is. Nothing is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from core.acts import Scene
from core.acts.answers.supposed import change_of, effects, told_of
from core.acts.planning import TRIES, problem_of
from core.books.ledger import Told
from core.errors import Refused
from core.notes import WhatIf
from core.outcome import Fact, fact
from core.planning.changes import difference, what_if
from core.planning.model import Plan, Problem
from core.planning.sowing_plan import plan
from core.vocabulary import Vocabulary
from service.board.view import View
from service.understanding import understand

WORTH_SHOWING = 0.5
"""Heads; less is rounding."""


@dataclass(frozen=True, slots=True)
class Beside:
    """One crop as it is and as it would be: plugs to sow this week, and over the plan heads cut and heads short."""

    sow: tuple[int, int]
    cut: tuple[float, float]
    short: tuple[float, float]

    @property
    def differs(self) -> bool:
        """Whether anything of it would be otherwise."""
        apart = (abs(after - before) for before, after in (self.sow, self.cut, self.short))
        return max(apart) >= WORTH_SHOWING


@dataclass(frozen=True, slots=True)
class Supposed:
    """What would come of a change. Where it was not understood or cannot be, `no` says so and the rest is empty."""

    change: Fact | None = None
    effects: tuple[Fact, ...] = ()
    crops: Mapping[str, Beside] | None = None
    weeks: int = 0
    gaps: tuple[float, float] = (0.0, 0.0)
    no: Fact | None = None


def suppose(view: View, words: str) -> Supposed:
    """The answer to "what if ..."; with or without these two words, in any language of ours."""
    scene = Scene(view.ledger, view.vocabulary, Told(view.person.id, view.now, view.now))
    note = note_of(words, view.now.astimezone(view.vocabulary.zone), view.vocabulary)
    if note is None:
        return Supposed(no=fact("what_if_how"))
    return view.kept(("if", note), lambda: _reckoned(view, note, scene))


def note_of(words: str, sent: datetime, vocabulary: Vocabulary) -> WhatIf | None:
    """What is supposed, read as if it had been texted at an instant; None where no change is found in it."""
    for text in (words, f"what if {words}", f"que pasa si {words}"):
        notes = understand(text, sent=sent, sender="", vocabulary=vocabulary).notes
        found = next((one for one in notes if isinstance(one, WhatIf) and one.change), None)
        if found is not None:
            return found
    return None


def _reckoned(view: View, note: WhatIf, scene: Scene) -> Supposed:
    try:
        scene.check_places(note.places)
        change = change_of(note, scene)
    except Refused as refused:
        return Supposed(no=fact(f"refused_{refused.kind}", **refused.values))
    if change is None:
        return Supposed(no=fact("what_if_how"))
    problem, before = view.kept("plan", lambda: _as_it_is(view))
    _, after, _ = what_if(problem, change, before=before, tries=TRIES)
    return Supposed(
        change=told_of(change, note),
        effects=tuple(effects(difference(before, after), view.vocabulary.tray_cells)),
        crops=_beside(before, after),
        weeks=before.weeks,
        gaps=(before.gap, after.gap),
    )


def _as_it_is(view: View) -> tuple[Problem, Plan]:
    problem = problem_of(view.ledger, view.vocabulary, view.today)
    return problem, plan(problem, tries=TRIES)


def _beside(before: Plan, after: Plan) -> dict[str, Beside]:
    crops = dict.fromkeys((*before.sow, *after.sow))
    return {
        crop: Beside(
            (_now(before, crop), _now(after, crop)),
            (_cut(before, crop), _cut(after, crop)),
            (_short(before, crop), _short(after, crop)),
        )
        for crop in crops
    }


def _now(made: Plan, crop: str) -> int:
    return made.sow[crop][0] if crop in made.sow else 0


def _cut(made: Plan, crop: str) -> float:
    return sum(made.heads.get(crop, ()))


def _short(made: Plan, crop: str) -> float:
    return sum(one.heads for one in made.wanted_short if one.demand.crop == crop)
