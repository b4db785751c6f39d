"""A coordinator or lead teaches the farm what the crew calls things: "the jungle means mint"."""

from __future__ import annotations

import re
from collections.abc import Iterable

from core.acts.naming import name_thing, things, unname
from core.errors import Refused
from core.outcome import Outcome, fact
from core.vocabulary import Vocabulary
from service.conversation.desk import Desk
from service.understanding.lexicon import words_of
from service.words import heard

MOST_WORDS = 4


def taught(desk: Desk) -> bool:
    """Whether the text taught a name, or took one back; a volunteer is told who may."""
    said = " ".join(desk.inbound.body.casefold().split()).strip(".!")
    try:
        with desk.session.begin_nested():
            outcome = _carry_out(said, desk)
    except Refused as refused:
        desk.say(fact(f"refused_{refused.kind}", **refused.values))
        return True
    if outcome is None:
        return False
    desk.noted += outcome.facts
    return True


def is_read_already(phrase: str, vocabulary: Vocabulary) -> bool:
    """Whether every word of a phrase means something to the reader ("ok", "next thursday")."""
    known = {word for lexicon in words_of(vocabulary).lexicons.values() for word in lexicon.known}
    return all(word in known for word in phrase.casefold().split())


def _carry_out(said: str, desk: Desk) -> Outcome | None:
    forgotten = _after(said, heard("unname"))
    if forgotten:
        return unname(forgotten, desk.scene())
    phrase, meaning = _pair(said, heard("means"))
    if not any(meaning == way for _, _, way in things(desk.vocabulary)):
        return None
    if is_read_already(phrase, desk.vocabulary):
        raise Refused("name_unfit", name=phrase)
    return name_thing(phrase, meaning, desk.scene())


def _pair(said: str, means: Iterable[str]) -> tuple[str, str]:
    """The new name and what it stands for; two empty texts where the text is not of that form."""
    for word in means:
        match = re.fullmatch(rf"(.+?) {re.escape(word)} (.+)", said)
        if match and len(match[1].split()) <= MOST_WORDS:
            return match[1].strip("\"'"), match[2].strip("\"'")
    return "", ""


def _after(said: str, starts: Iterable[str]) -> str:
    return next((said.removeprefix(start).strip(" \"'") for start in starts if said.startswith(f"{start} ")), "")
