"""Questions, answered from the books: one short function for each thing that can be asked about."""

from __future__ import annotations

from collections.abc import Callable

from core.acts.answers import (
    forecast,
    graph,
    growing,
    help,
    people,
    plan,
    probes,
    produce,
    shifts,
    supplies,
    trends,
    trouble,
    water,
    work,
)
from core.acts.scene import Scene
from core.books.ledger import Ledger, Told
from core.notes import Ask
from core.outcome import Outcome
from core.vocabulary import Vocabulary

ANSWERS: dict[str, Callable[[Ask, Scene], Outcome]] = {
    "tasks": work.tasks,
    "more": work.more,
    "shift": shifts.shift,
    "roster": shifts.roster,
    "reading": water.reading,
    "harvest": produce.harvest,
    "given": produce.given,
    "place": growing.place,
    "ready": growing.ready,
    "stock": supplies.stock,
    "hours": shifts.hours,
    "plan": plan.plan,
    "forecast": forecast.forecast,
    "calibration": probes.calibration,
    "trend": trends.trend,
    "range": trends.wanted,
    "trouble": trouble.trouble,
    "graph": graph.graph,
    "crew": people.crew,
    "able": people.able,
    "trained": people.trained,
    "help": help.help,
}
"""What a question is about -> who answers it."""


def answer(note: Ask, told: Told, ledger: Ledger, vocabulary: Vocabulary) -> Outcome:
    """The answer to a question; nothing is written. One that is about nothing we know is answered with help.

    Raises:
        Refused: "no_such_place", where the farm has none of that code.
    """
    return ANSWERS.get(note.about or "help", help.help)(note, Scene(ledger, vocabulary, told))
