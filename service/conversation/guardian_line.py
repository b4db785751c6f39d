"""What a guardian who is not of the crew can text: agree for a minor, take it back, say when the minor comes, STOP."""

from __future__ import annotations

from core.acts.correct import last_entries
from core.notes import Correct
from service.conversation import guardians, keywords
from service.conversation.context import YES_OR_NO, theirs
from service.conversation.desk import Desk
from service.conversation.pending import close, told
from service.conversation.recording import Recorder
from service.understanding import understand
from service.understanding.reading import Asked, Context, TextReading

QUESTION = YES_OR_NO[-1]


def of_guardian(desk: Desk) -> None:
    """One text of a guardian. Their question never closes: OK or NO holds whenever it is said."""
    was_muted = desk.person.muted
    if not keywords.in_other_words(desk):
        _read(desk)
    if desk.person.muted and not was_muted:
        guardians.decide(desk, agreed=False, silent=True)


def _read(desk: Desk) -> None:
    reading = understand(
        desk.inbound.body,
        sent=desk.inbound.sent_at,
        sender=desk.person.handle,
        vocabulary=desk.vocabulary,
        context=Context(asked=Asked("shift", shift=QUESTION), theirs=theirs(desk)),
    )
    desk.inbound.reading = reading.record()
    if reading.verdict == "keyword":
        keywords.keyword(desk, carrier_answers=desk.inbound.carrier in keywords.CARRIERS_THAT_ANSWER)
    elif reading.mute:
        keywords.mute_in_words(desk)
    elif reading.verdict == "record" and (any(reading.for_whom) or _takes_back(desk, reading)):
        Recorder(desk).work_off(told(reading, desk))
    elif (answer := _answer(reading)) is not None:
        close(desk)
        guardians.decide(desk, agreed=answer)
    else:
        guardians.explain(desk)


def _takes_back(desk: Desk, reading: TextReading) -> bool:
    undo = any(isinstance(note, Correct) and note.undo for note in reading.notes)
    return undo and bool(last_entries(desk.scene()))


def _answer(reading: TextReading) -> bool | None:
    said = [getattr(note, "answer", None) for note in reading.notes if getattr(note, "shift", None) == QUESTION]
    return {"yes": True, "no": False}.get(str(said[0])) if said else None
