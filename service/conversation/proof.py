"""Whether a text is really its sender's: what reaches everybody waits for a code that only their own phone can read.

A sender's number can be forged, a text to it cannot be read by the forger. The code is bound to one command, can be
used once, lives ten minutes and bears three tries; after it the phone is trusted for ten minutes. Guessing finds a code
with three tries in 10,000, once an hour.
"""

from __future__ import annotations

import re
import secrets
from datetime import timedelta

from core.acts.correct import last_entries
from core.brief import brief
from core.notes import Announce, Correct, Note, from_record, to_record
from core.outcome import Fact, fact
from core.roles import may, needs_proof
from service.conversation.desk import Desk
from service.conversation.pending import Waiting, close, waiting_behind
from service.questions import alive
from service.tables import OpenQuestion, Proof
from service.words import heard

DIGITS = 4
LIVES = timedelta(minutes=10)
TRUSTED = timedelta(minutes=10)
LOCKED = timedelta(hours=1)
MOST_TRIES = 3
MOST_WORDS = 60
"""Letters of an announcement that are said back, so that a code stays within one segment."""

LONGEST_ANSWER = 24  # letters around the digits: "the code is 1234"
ALONE = re.compile(rf"\D*(\d{{{DIGITS}}})\D*")


def is_wanted(desk: Desk, note: Note) -> bool:
    """Whether a note has to wait for a code; what the sender may not say anyway is refused without one."""
    if not any(needs_proof(act) for act in _acts(desk, note)) or not may(desk.person.role, note.act):
        return False
    row = _row(desk)
    return row is None or row.proved_at is None or desk.now - row.proved_at > TRUSTED


def _acts(desk: Desk, note: Note) -> list[str]:
    """What would be done: for a correction, what it takes back or does anew."""
    return [entry.act for entry in last_entries(desk.scene())] if isinstance(note, Correct) else [note.act]


def challenge(desk: Desk, note: Note) -> Fact:
    """The code for a note, to be texted back; "code_locked" where too many wrong ones came within the hour."""
    row = _row(desk) or Proof(farm_id=desk.farm.id, person_id=desk.person.id, sent_at=desk.now)
    since = desk.now - row.sent_at
    if row.wrong >= MOST_TRIES and since <= LOCKED:
        return fact("code_locked")
    if row.code is None or row.note != to_record(note) or since > LIVES:
        row.code, row.note = f"{secrets.randbelow(10**DIGITS):0{DIGITS}}", to_record(note)
        row.sent_at = desk.now
        row.wrong = row.wrong if since <= LOCKED else 0
    desk.session.add(row)
    return fact("ask_code", code=row.code, of=(_said_back(desk, note),))


def answered(desk: Desk) -> list[Waiting] | None:
    """Whether the text answers an open question for a code: None where it does not, else what may now be done."""
    question, row = alive(desk.question(), desk.now, desk.inbound.sent_at), _row(desk)
    if question is None or row is None or question.about != "code":
        return None
    said = " ".join(desk.inbound.body.casefold().split()).strip(".! ")
    code = ALONE.fullmatch(said) if len(said) <= LONGEST_ANSWER else None
    if code is None and said not in heard("not_me"):
        return None
    return _settle(desk, question, row, code[1] if code else None)


def _settle(desk: Desk, question: OpenQuestion, row: Proof, code: str | None) -> list[Waiting]:
    of = (brief(from_record(question.draft or {})),)
    if code is None or row.code is None or desk.now - row.sent_at > LIVES:
        row.code = None
        close(desk)
        desk.say(fact("left_out", of=of) if code is None else fact("code_late", of=of))
        return []
    if not secrets.compare_digest(code, row.code):
        return _wrong(desk, row, of)
    row.code, row.note, row.wrong, row.proved_at = None, None, 0, desk.now
    queue = [Waiting(from_record(question.draft or {})), *waiting_behind(question)]
    close(desk)
    return queue


def _wrong(desk: Desk, row: Proof, of: tuple[Fact, ...]) -> list[Waiting]:
    row.wrong += 1
    if row.wrong < MOST_TRIES:
        desk.say(fact("code_wrong", n=MOST_TRIES - row.wrong))
        return []
    row.code = None
    close(desk)
    desk.say(fact("left_out", of=of), fact("code_locked"))
    return []


def _row(desk: Desk) -> Proof | None:
    return desk.session.get(Proof, (desk.farm.id, desk.person.id))


def _said_back(desk: Desk, note: Note) -> Fact:
    """What the code is for: an announcement in its own words, taking back by what is taken back."""
    if isinstance(note, Announce):
        return fact("code_announce", words=(note.words or "")[:MOST_WORDS])
    if isinstance(note, Correct) and note.undo:
        taken = tuple(brief(from_record(entry.note)) for entry in reversed(last_entries(desk.scene())))
        return fact("code_undo", taken=taken)
    return brief(note)
