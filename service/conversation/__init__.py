"""The conversation: each text is read, laid beside what is pending, and recorded, asked back or answered.

`answer` is called once a text, inside its unit of work; effect, open question and reply are written together.
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime

from sqlmodel import Session

from core.books import people
from core.books.ledger import Ledger
from core.books.tables import Farm
from core.books.vocabulary import vocabulary as read_vocabulary
from core.outcome import fact
from core.vocabulary import Vocabulary
from service.conversation import keywords
from service.conversation.answering import answers, ask_again, is_of_its_own, pass_by
from service.conversation.consent import ask_consent
from service.conversation.context import context_of, last_notes
from service.conversation.desk import Desk
from service.conversation.joining import stranger
from service.conversation.mending import against_each, is_correction
from service.conversation.naming import taught
from service.conversation.pending import Waiting, split
from service.conversation.recording import Recorder
from service.inbox import too_many
from service.questions import alive
from service.tables import Inbound
from service.understanding import understand
from service.understanding.reading import Context, TextReading
from service.words import heard

LONGEST_THANKS = 8  # words

DIGIT = re.compile(r"\d")
WORDY = re.compile(r"[a-z0-9]", re.IGNORECASE)

CARRIERS_THAT_ANSWER = ("twilio",)
"""Carriers that answer STOP, START and HELP themselves."""


class Conversation:
    """Answers texts. Keeps each farm's words between texts, so that their word tables are built once."""

    def __init__(self) -> None:
        self._vocabularies: dict[int, Vocabulary] = {}

    def __call__(self, session: Session, farm: Farm, inbound: Inbound, now: datetime) -> None:
        """Deal with one text, in the session it is given."""
        silent = too_many(session, farm.id, inbound.phone, now)  # taken down all the same, only not answered
        vocabulary = self.vocabulary(session, farm.id)
        person = people.by_phone(Ledger(session, farm.id), inbound.phone)
        if person is None or person.state != "here":
            stranger(session, farm, vocabulary, inbound, now, silent=silent)
            return
        inbound.person_id = person.id
        desk = Desk(session, farm, vocabulary, person, inbound, now, person.language)
        _converse(desk)
        if not silent:
            desk.reply()

    def vocabulary(self, session: Session, farm_id: int) -> Vocabulary:
        """A farm's words as they are now; the same object as long as they are the same."""
        fresh = read_vocabulary(session, farm_id)
        if self._vocabularies.get(farm_id) != fresh:
            self._vocabularies[farm_id] = fresh
        return self._vocabularies[farm_id]


def _converse(desk: Desk) -> None:
    body = desk.inbound.body.strip()
    if not body:
        desk.say(fact("photo_kept" if desk.inbound.media else "empty_text"))
        return
    if keywords.in_other_words(desk) or taught(desk):
        return
    context = context_of(desk)
    reading = _understand(desk, context)
    if is_correction(reading):
        reading = against_each(reading, context, last_notes(desk), lambda one: _understand(desk, one))
    desk.inbound.reading = reading.record()
    if reading.verdict == "keyword":
        keywords.keyword(desk, carrier_answers=desk.inbound.carrier in CARRIERS_THAT_ANSWER)
    elif reading.mute:
        keywords.mute(desk)
        desk.say(fact("carrier_stop", farm=desk.vocabulary.farm))
    else:
        _decide(desk, context, reading)
        ask_consent(desk)


def _understand(desk: Desk, context: Context) -> TextReading:
    return understand(
        desk.inbound.body,
        sent=desk.inbound.sent_at,
        sender=desk.person.handle,
        vocabulary=desk.vocabulary,
        context=context,
    )


def _decide(desk: Desk, context: Context, reading: TextReading) -> None:
    """Lay the reading beside the open question: is it its answer, or something new?"""
    question = alive(desk.question(), desk.now)
    if question is None or question.about == "shift":
        if question is None or not answers(desk, question, reading, reading):
            _take_up(desk, reading)
        return
    # Alone, and with the draft as what a correction mends: "no, 6.1" is about that first.
    last = context.asked.draft if context.asked and context.asked.draft else context.last
    alone = _understand(desk, replace(context, asked=None, last=last))
    if is_of_its_own(question, reading, alone):
        desk.inbound.reading = alone.record()
        draft = question.draft
        _take_up(desk, alone)
        pass_by(desk, question, draft)
    elif not answers(desk, question, reading, alone):
        _take_up(desk, alone)


def _take_up(desk: Desk, reading: TextReading) -> None:
    if reading.unknown:
        rows = desk.vocabulary.tower_rows
        first, last, towers = min(rows, default=""), max(rows, default=""), max(rows.values(), default=0)
        desk.say(fact("refused_no_such_place", code=reading.unknown[0], first=first, last=last, towers=towers))
    if reading.verdict in ("record", "answer"):
        Recorder(desk).work_off([Waiting(note) for note in reading.notes])
    elif reading.verdict == "ask":
        complete, waiting = split(reading.notes, reading.missing)
        Recorder(desk).work_off([*map(Waiting, complete), *waiting])
        if not reading.notes and not reading.unknown:
            desk.say(fact("ask_what"))
    elif _is_greeting(desk) or not _is_thanks(desk):
        _not_understood(desk)


def _not_understood(desk: Desk) -> None:
    question = alive(desk.question(), desk.now)
    if not WORDY.search(desk.inbound.body):
        desk.say(fact("unreadable"))
    elif question is not None:
        ask_again(desk, question)
    elif _is_greeting(desk):
        desk.say(fact("hello", name=desk.person.name.split()[0]))
    else:
        desk.say(fact("nothing_noted"))


def _is_thanks(desk: Desk) -> bool:
    """Thanks and the like want no answer."""
    words = _words(desk)
    return len(words) <= LONGEST_THANKS and not set(words).isdisjoint(heard("polite"))


def _is_greeting(desk: Desk) -> bool:
    words = _words(desk)
    return bool(words) and not DIGIT.search(desk.inbound.body) and set(words).issubset(heard("greet"))


def _words(desk: Desk) -> list[str]:
    return re.findall(r"[^\W\d_]+", desk.inbound.body.casefold())


__all__ = ["Conversation"]
