"""The conversation: each text is read, laid beside what is pending, and recorded, asked back or answered.

`answer` is called once a text, inside its unit of work; effect, open question and reply are written together.
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime

from sqlmodel import Session

from core.books import people, troubles
from core.books.ledger import Ledger
from core.books.tables import Farm
from core.books.vocabulary import vocabulary as read_vocabulary
from core.notes import FollowUp
from core.outcome import fact
from core.people import first_name
from core.vocabulary import Vocabulary
from service.conversation import guardians, keywords, proof, requests
from service.conversation.alarms import alarm_answered
from service.conversation.answering import answers, ask_again, is_of_its_own, pass_by
from service.conversation.calibrating import stepped
from service.conversation.consent import ask_consent, wakes
from service.conversation.context import APART, context_of, last_notes
from service.conversation.desk import Desk
from service.conversation.guardian_line import of_guardian
from service.conversation.joining import stranger
from service.conversation.mending import against_each, is_correction
from service.conversation.naming import taught
from service.conversation.papers import asked_of_office
from service.conversation.pending import Waiting, split, told
from service.conversation.recording import Recorder
from service.limits import floods
from service.loops import too_many
from service.photos.keeping import take_down, tie
from service.questions import alive
from service.segments import fold
from service.tables import Inbound
from service.understanding import understand
from service.understanding.reading import Context, TextReading
from service.words import heard

LONGEST_THANKS = 8  # words

DIGIT = re.compile(r"\d")
WORDY = re.compile(r"[a-z0-9]", re.IGNORECASE)


class Conversation:
    """Answers texts. Keeps each farm's words between texts, so that their word tables are built once."""

    def __init__(self) -> None:
        self._vocabularies: dict[int, Vocabulary] = {}

    def __call__(self, session: Session, farm: Farm, inbound: Inbound, now: datetime) -> None:
        """Deal with one text, in the session it is given."""
        if floods(session, farm.id, inbound.phone, now):
            inbound.reading = {"verdict": "flood", "notes": [], "missing": []}
            return
        silent = too_many(session, farm.id, inbound.phone, now)  # taken down all the same, only not answered
        vocabulary = self.vocabulary(session, farm.id)
        person = people.by_phone(Ledger(session, farm.id), inbound.phone)
        if person is None or person.state not in ("here", "guardian"):
            stranger(session, farm, vocabulary, inbound, now, silent=silent)
            return
        inbound.person_id = person.id
        desk = Desk(session, farm, vocabulary, person, inbound, now, person.language)
        (_converse if person.state == "here" else of_guardian)(desk)
        requests.ask_about_next(desk)
        shown = troubles.recorded_at_once(desk.ledger, person.id, now)
        if shown is not None:
            tie(session, farm.id, person.id, shown, inbound.sent_at)
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
    if desk.inbound.media:
        take_down(desk.session, desk.inbound, desk.person.id, desk.now)
    if not body:
        _wordless(desk)
        return
    if keywords.in_other_words(desk) or _answers_us(desk) or taught(desk) or asked_of_office(desk):
        return
    context = context_of(desk)
    reading = _understand(desk, context)
    if is_correction(reading):
        reading = against_each(reading, context, last_notes(desk), lambda one: _understand(desk, one))
    desk.inbound.reading = reading.record()
    if reading.verdict == "keyword":
        keywords.keyword(desk, carrier_answers=desk.inbound.carrier in keywords.CARRIERS_THAT_ANSWER)
    elif reading.mute:
        keywords.perhaps_mute(desk, reading.mute)
    else:
        _decide(desk, context, reading)
        ask_consent(desk)


def _wordless(desk: Desk) -> None:
    """A photo alone shows the trouble that its sender has just told of; of any other they are asked what it shows."""
    n = troubles.just_told(desk.ledger, desk.person.id, desk.inbound.sent_at) if desk.inbound.media else None
    if n is None:
        desk.say(fact("photo_kept" if desk.inbound.media else "empty_text"))
    else:
        Recorder(desk).work_off([Waiting(FollowUp(step="photo", n=n))])


def _answers_us(desk: Desk) -> bool:
    """Whether the text answered a question of ours that is about no note: a code, an age, a guardian, a step."""
    if _proved(desk) or requests.listed(desk) or wakes(desk) or stepped(desk) or alarm_answered(desk):
        return True
    if guardians.answered(desk):
        ask_consent(desk)
        return True
    return False


def _proved(desk: Desk) -> bool:
    """Whether the text was the answer to a code we sent; what waited for it is done."""
    question = desk.question()
    free = proof.answered(desk)
    if free:
        Recorder(desk, question.said_at if question else None, question.source if question else None).work_off(free)
    return free is not None


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
    put_since = desk.question()
    question = alive(put_since, desk.now, desk.inbound.sent_at)
    later = alive(put_since, desk.now)
    if question is None and later is not None:
        draft = later.draft
        _take_up(desk, reading)
        pass_by(desk, later, draft)
        return
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
        return
    draft = question.draft
    if not answers(desk, question, reading, alone):
        _take_up(desk, alone)
        if alone.verdict == "ask":
            pass_by(desk, question, draft)


def _take_up(desk: Desk, reading: TextReading) -> None:
    if reading.unknown:
        rows = desk.vocabulary.tower_rows
        first, last, towers = min(rows, default=""), max(rows, default=""), max(rows.values(), default=0)
        desk.say(fact("refused_no_such_place", code=reading.unknown[0], first=first, last=last, towers=towers))
    if reading.verdict in ("record", "answer"):
        Recorder(desk).work_off(told(reading, desk))
    elif reading.verdict == "ask":
        complete, waiting = split(told(reading, desk), reading.missing)
        Recorder(desk).work_off([*complete, *waiting])
        if not reading.notes and not reading.unknown:
            desk.say(fact("ask_what"))
    elif not desk.person.muted and (_is_greeting(desk) or _figures_awaited(desk) or not _is_thanks(desk)):
        _not_understood(desk)


def _not_understood(desk: Desk) -> None:
    question = alive(desk.question(), desk.now)
    if not WORDY.search(desk.inbound.body):
        desk.say(fact("unreadable"))
    elif question is not None:
        ask_again(desk, question)
    elif _is_greeting(desk):
        desk.say(fact("hello", name=first_name(desk.person.name)))
    else:
        desk.say(fact("nothing_noted"))


def _is_thanks(desk: Desk) -> bool:
    """Thanks and the like want no answer; what asks does, whatever polite word is in it."""
    words = _words(desk)
    asks = "?" in desk.inbound.body or (bool(words) and fold(words[0]) in heard("asking"))
    return not asks and len(words) <= LONGEST_THANKS and not set(words).isdisjoint(heard("polite"))


def _figures_awaited(desk: Desk) -> bool:
    """An OK is no code, age or number: what is waited for is said once more."""
    question = alive(desk.question(), desk.now)
    return question is not None and question.about in APART


def _is_greeting(desk: Desk) -> bool:
    words = _words(desk)
    return bool(words) and not DIGIT.search(desk.inbound.body) and set(words).issubset(heard("greet"))


def _words(desk: Desk) -> list[str]:
    return re.findall(r"[^\W\d_]+", desk.inbound.body.casefold())


__all__ = ["Conversation"]
