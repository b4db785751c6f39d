"""A text laid beside the question that is open with its sender: whether it answers it, and what follows then."""

from __future__ import annotations

from core.notes import AddPerson, Correct, Note, ShiftAnswer, from_record
from core.outcome import fact
from service.conversation.consent import agree
from service.conversation.context import YES_OR_NO
from service.conversation.desk import Desk
from service.conversation.pending import Waiting, close, completes, filled, question_for, split, waiting_behind
from service.conversation.recording import Recorder
from service.tables import OpenQuestion
from service.understanding.reading import TextReading


def answers(desk: Desk, question: OpenQuestion, reading: TextReading) -> bool:
    """Whether the text answered the question, and if so what follows from it."""
    if question.about in YES_OR_NO:
        return _yes_or_no(desk, question, reading)
    if question.about == "shift":
        if any(isinstance(note, ShiftAnswer) and note.shift == question.shift for note in reading.notes):
            close(desk)
        return False
    draft = from_record(question.draft or {})
    if reading.declined or any(isinstance(note, Correct) and note.undo for note in reading.notes):
        close(desk)
        desk.say(fact("dropped" if question.about == "confirm" else "let_go"))
        return True
    given = next((note for note in reading.notes if completes(note, draft, question.about)), None)
    if given is None or reading.verdict not in ("record", "ask"):
        return False
    _complete(desk, question, draft, given, reading)
    return True


def _complete(desk: Desk, question: OpenQuestion, draft: Note, given: Note, reading: TextReading) -> None:
    """The draft is complete (or less incomplete); it is recorded as said at first, and what waited with it goes on."""
    behind = (
        filled(waiting_behind(question), question.about, given)
        if question.about != "confirm"
        else waiting_behind(question)
    )
    said_at, source = question.said_at, question.source
    close(desk)
    _, still = split([given], reading.missing) if reading.verdict == "ask" else ([], [])
    sure = question.about == "confirm" and given == draft
    Recorder(desk, said_at, source).work_off([*(still or [Waiting(given)]), *behind], sure=sure)
    others = [Waiting(note) for note in reading.notes if note is not given]
    if others and reading.verdict == "record":
        Recorder(desk).work_off(others)


def _yes_or_no(desk: Desk, question: OpenQuestion, reading: TextReading) -> bool:
    """The answer to whether somebody may join, or whether they may be texted unasked."""
    said = [note.answer for note in reading.notes if isinstance(note, ShiftAnswer) and note.shift == question.about]
    if not said or said[0] not in ("yes", "no"):
        return False
    close(desk)
    if question.about == "consent":
        agree(desk, agreed=said[0] == "yes")
        return True
    person = from_record(question.draft or {})
    if said[0] == "yes":
        Recorder(desk).work_off([Waiting(person)])
    elif isinstance(person, AddPerson):
        desk.say(fact("join_refused", name=person.name))
    return True


def ask_again(desk: Desk, question: OpenQuestion) -> None:
    """The text was not understood: say the open question once more, where it is about a draft."""
    if question.draft is None or question.about in YES_OR_NO:
        desk.say(fact("nothing_noted"))
        return
    waiting = Waiting(from_record(question.draft), tuple(question.missing) or (question.about,))
    desk.say(*((fact("sure_or_not"),) if question.about == "confirm" else question_for(desk, waiting)))
