"""Carrying out what was understood: record, ask about what is missing, confirm what is surprising, tell others."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime

from core.acts import carry_out
from core.acts.listing import number_list
from core.errors import Refused
from core.notes import ASKING, Added, Correct, Note, Reading, Want
from core.outcome import Fact, Outcome, fact
from service.conversation import news, proof
from service.conversation.desk import Desk
from service.conversation.pending import Waiting, ask, question_for

ASK_SURE = {"doubt_same_cut": "same_or_not", "doubt_undo": "undo_or_not", "doubt_roster": "roster_or_not"}
"""How a doubt is asked about, where not simply whether to record it."""


ADVICE = ("advice_", "fetch_lead", "caution_ph", "caution_concentrate")
"""What is said of a reading that is off; left out where the same text asks for the dose, or tells of it."""


class Recorder:
    """Carries out notes one by one; stops at the first that must be asked about, the rest waiting behind it.

    `said_at` and `source` are of the text the notes came in, which for a draft is not the one that completes it.
    """

    def __init__(self, desk: Desk, said_at: datetime | None = None, source: str | None = None) -> None:
        self.desk = desk
        self.said_at = said_at or desk.inbound.sent_at
        self.source = source or desk.inbound.id
        self.put_right = False

    def work_off(self, queue: Sequence[Waiting], *, sure: bool = False) -> None:
        """Everything that can be carried out now; `sure` holds for the first note, which was just confirmed."""
        self.put_right = any(isinstance(one.note, (Want, Added)) for one in queue)
        for at, one in enumerate(queue):
            if one.missing:
                ask(self.desk, queue[at:], one.missing[0], self.said_at, self.source)
                self.desk.say(*question_for(self.desk, one))
                return
            if proof.is_wanted(self.desk, one.note):
                code = proof.challenge(self.desk, one.note)
                self.desk.say(code)
                if code.kind == "ask_code":
                    ask(self.desk, queue[at:], "code", self.said_at, self.source)
                    return
                continue
            doubts = self._carry_out(one, sure=sure and at == 0)
            if doubts:
                ask(self.desk, queue[at:], "confirm", self.said_at, self.source)
                self.desk.say(*doubts, fact(ASK_SURE.get(doubts[0].kind, "sure_or_not")))
                return

    def _carry_out(self, one: Waiting, *, sure: bool) -> tuple[Fact, ...]:
        desk, note = self.desk, one.note
        scene = desk.scene(
            sure=sure, said_at=self.said_at, source=self.source, happened_at=one.happened_at, for_id=one.for_id
        )
        try:
            with desk.session.begin_nested() as attempt:
                outcome = carry_out(note, scene)
                if outcome.doubts:
                    attempt.rollback()  # a correction that is doubted leaves the record it would mend as it was
        except Refused as refused:
            desk.say(fact(f"refused_{refused.kind}", **refused.values))
            return ()
        if not outcome.doubts:
            self._take_down(note, outcome)
        return outcome.doubts

    def _take_down(self, note: Note, outcome: Outcome) -> None:
        undone = isinstance(note, Correct) and note.undo
        if outcome.whom is not None:
            outcome = in_third_person(outcome, self.desk.speaker().knows)
        self._gathered(outcome.whom, said=undone or isinstance(note, ASKING)).extend(outcome.facts)
        self.desk.first += outcome.first
        known = self.put_right and isinstance(note, Reading)
        self.desk.say(*(one for one in outcome.remarks if not (known and one.kind.startswith(ADVICE))))
        if outcome.listed:
            number_list(self.desk.ledger, self.desk.person.id, outcome.listed, self.desk.today, self.desk.scene().told)
        self.desk.picture = outcome.picture or self.desk.picture
        news.tell(self.desk, outcome.news)

    def _gathered(self, whom: str | None, *, said: bool) -> list[Fact]:
        """Where facts go: what is answered, what was noted, and what was noted for somebody else."""
        if said:
            return self.desk.said
        return self.desk.noted if whom is None else self.desk.noted_for.setdefault(whom, [])


def in_third_person(outcome: Outcome, knows: Callable[[str], bool]) -> Outcome:
    """What came of speaking for somebody, not said as if the sender were meant, where that makes a difference."""

    def of_them(one: Fact) -> Fact:
        return replace(one, kind=f"{one.kind}_for") if knows(f"{one.kind}_for") else one

    return replace(outcome, facts=tuple(map(of_them, outcome.facts)), remarks=tuple(map(of_them, outcome.remarks)))
