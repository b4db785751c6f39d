"""A text laid beside the question that is open with its sender: whether it answers it, and what follows then."""

from __future__ import annotations

from typing import Any

from core.acts.correct import last_entries, mended_by
from core.brief import brief
from core.notes import AddPerson, Correct, Note, ShiftAnswer, from_record
from core.outcome import fact
from service.conversation.consent import agree
from service.conversation.context import YES_OR_NO
from service.conversation.desk import Desk
from service.conversation.guardians import QUESTIONS, asking, decide
from service.conversation.pending import (
    Waiting,
    close,
    completes,
    filled,
    includes,
    question_for,
    split,
    told,
    waiting_behind,
)
from service.conversation.recording import Recorder
from service.conversation.requests import decline
from service.tables import OpenQuestion
from service.understanding.reading import TextReading

MOST_PASSED = 2
"""After so many texts about other things a question is let go. Common practice, no source."""

CONSENTS = {"consent": agree, "ward": decide}
"""Who agrees, by the question that was asked."""

STILL_OPEN = {"confirm": "sure_again", "code": "code_again"}
"""How a question that lacks nothing of its draft is said once more."""


def is_of_its_own(question: OpenQuestion, reading: TextReading, alone: TextReading) -> bool:
    """Whether a text says something complete that the question has no part in.

    `reading` is the text read as an answer, `alone` as if nothing had been asked: what says enough by itself is no
    answer, unless reading it as one takes in all of it besides.
    """
    if alone.verdict not in ("record", "answer"):
        return False
    draft = from_record(question.draft) if question.draft else None
    own = [
        note
        for note in alone.notes
        if not isinstance(note, Correct) and (draft is None or not completes(note, draft, question.about))
    ]
    takes_all_in = reading.answered and all(any(includes(note, one) for note in reading.notes) for one in own)
    answered = draft is not None and any(_answers(note, draft, question, reading) for note in reading.notes)
    return bool(own) and not (takes_all_in and answered)


def _answers(note: Note, draft: Note, question: OpenQuestion, reading: TextReading) -> bool:
    """Whether a note is the draft made complete, or put right while it was being confirmed."""
    mended = question.about == "confirm" and reading.answered and type(note) is type(draft)
    return mended or completes(note, draft, question.about)


def pass_by(desk: Desk, question: OpenQuestion, draft: dict[str, Any] | None) -> None:
    """A text was about something else: say once more what is open, or let it go when it is passed by too often.

    `draft` is what the question was about before that text, which may have put a question of its own in its place.
    """
    if draft is None or question.about in YES_OR_NO:
        return
    left_out = fact("left_out", of=(brief(from_record(draft)),))
    if question.draft != draft:
        desk.said.insert(0, left_out)
        return
    question.passed += 1
    if question.passed < MOST_PASSED:
        _still_open(desk, question)
        return
    desk.say(left_out)
    close(desk)


def _still_open(desk: Desk, question: OpenQuestion) -> None:
    draft = from_record(question.draft or {})
    waiting = Waiting(draft, tuple(question.missing) or (question.about,))
    kind = STILL_OPEN.get(question.about)
    desk.say(*((fact(kind, of=(brief(draft),)),) if kind else question_for(desk, waiting)))


def answers(desk: Desk, question: OpenQuestion, reading: TextReading, alone: TextReading) -> bool:
    """Whether the text, read as an answer and alone, answered the question, and if so what follows from it."""
    if question.about in YES_OR_NO:
        return _yes_or_no(desk, question, reading)
    if question.about == "shift":
        own = () if any(reading.for_whom) else reading.notes
        if any(isinstance(note, ShiftAnswer) and note.shift == question.shift for note in own):
            close(desk)
        return False
    if question.draft is None:
        return False
    draft = from_record(question.draft)
    if reading.declined:
        return _drop(desk, question)
    given = next((note for note in reading.notes if _answers(note, draft, question, reading)), None)
    if given is not None and reading.verdict in ("record", "ask", "answer"):
        _complete(desk, question, draft, given, reading)
        return True
    correction = next((note for note in (*reading.notes, *alone.notes) if isinstance(note, Correct)), None)
    if correction is None or _came_later(desk, question):
        return False
    return _drop(desk, question) if correction.undo else _mend(desk, question, draft, correction)


def _drop(desk: Desk, question: OpenQuestion) -> bool:
    close(desk)
    desk.say(fact("dropped" if question.about == "confirm" else "let_go"))
    return True


def _came_later(desk: Desk, question: OpenQuestion) -> bool:
    """Whether the sender has recorded something since the question was put: "undo" is then about that."""
    entries = last_entries(desk.scene())
    return bool(entries) and entries[0].written_at > question.asked_at


def _mend(desk: Desk, question: OpenQuestion, draft: Note, correction: Correct) -> bool:
    """The right figure for a draft that still waits ("no, 6.1"), where the draft has such a slot."""
    mended = mended_by(draft, correction)
    if mended is None:
        return False
    queue = [Waiting(mended, tuple(question.missing), question.happened_at, question.for_id), *waiting_behind(question)]
    said_at, source = question.said_at, question.source
    close(desk)
    Recorder(desk, said_at, source).work_off(queue)
    return True


def _complete(desk: Desk, question: OpenQuestion, draft: Note, given: Note, reading: TextReading) -> None:
    """The draft is complete (or less incomplete); it is recorded as said at first, and what waited with it goes on."""
    behind = (
        filled(waiting_behind(question), question.about, given)
        if question.about not in STILL_OPEN
        else waiting_behind(question)
    )
    said_at, source, happened_at, for_id = question.said_at, question.source, question.happened_at, question.for_id
    close(desk)
    whole = [Waiting(given, happened_at=happened_at, for_id=for_id)]
    _, still = split(whole, reading.missing) if reading.verdict == "ask" else ([], [])
    sure = question.about == "confirm" and given == draft and reading.answered  # told again is not yet confirmed
    Recorder(desk, said_at, source).work_off([*(still or whole), *behind], sure=sure)
    others = [one for one in told(reading, desk) if one.note is not given]
    if others and reading.verdict == "record":
        Recorder(desk).work_off(others)


def _yes_or_no(desk: Desk, question: OpenQuestion, reading: TextReading) -> bool:
    """The answer to whether somebody may join, or whether they may be texted unasked."""
    said = [note.answer for note in reading.notes if isinstance(note, ShiftAnswer) and note.shift == question.about]
    if not said or said[0] not in ("yes", "no"):
        return False
    close(desk)
    if question.about in CONSENTS:
        CONSENTS[question.about](desk, agreed=said[0] == "yes")
        return True
    person = from_record(question.draft or {})
    if said[0] == "yes":
        Recorder(desk).work_off([Waiting(person)])
    elif isinstance(person, AddPerson):
        decline(desk, person)
    return True


def ask_again(desk: Desk, question: OpenQuestion) -> None:
    """The text was not understood: say the open question once more, where it is about a draft, an age or a guardian."""
    if question.about in QUESTIONS:
        desk.say(asking(desk, question.about))
    elif question.draft is None or question.about in YES_OR_NO:
        desk.say(fact("nothing_noted"))
    else:
        _still_open(desk, question)
