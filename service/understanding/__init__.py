"""From the words of one text to the notes it holds. Pure: no database, no clock, nothing read but the lexicon, once.

The way of a text, in this order: its words are laid out and marked (sheet, lexicon), then clock times, places and
numbers; a carrier's keyword or a wish to be left alone ends it there. What was asked last is answered first, then the
last record corrected, then what only a coordinator says; the rest are questions, tasks, reports and times of people.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from core.notes import Announce, Ask, Free, Note, to_record
from core.vocabulary import Vocabulary
from service.understanding.amounts import amounts
from service.understanding.answers import answered
from service.understanding.check import unaccounted
from service.understanding.clauses import Sentence, sentences
from service.understanding.coordinator import coordinated
from service.understanding.corrections import corrected
from service.understanding.crew import bare_hours, punched, timed_once
from service.understanding.found import Found, Told
from service.understanding.numbers import mark_numbers, mark_slips
from service.understanding.places import mark_places
from service.understanding.questions import question
from service.understanding.reading import (
    Asked,
    Context,
    ListedTask,
    ShiftAhead,
    TextReading,
    Verdict,
    context_from_record,
)
from service.understanding.reports import READERS, reports
from service.understanding.rest import about_time, without_time
from service.understanding.sheet import Sheet, lay_out
from service.understanding.shifts import unasked
from service.understanding.tasks import tasks
from service.understanding.times import mark_clocks

__all__ = ["Asked", "Context", "ListedTask", "ShiftAhead", "TextReading", "context_from_record", "understand"]


def understand(
    text: str,
    *,
    sent: datetime,
    sender: str,
    vocabulary: Vocabulary,
    context: Context = Context(),  # noqa: B008
) -> TextReading:
    """Read one text.

    Args:
        text: the text as typed, of any length and content.
        sent: when it was sent; a naive time is farm-local.
        sender: who sent it, one of the vocabulary's people.
        vocabulary: the farm's words.
        context: what the farm knows at that moment that bears on the reading.

    Returns:
        The reading. It never raises for a text.
    """
    sheet = _marked(text, vocabulary)
    local = sent.astimezone(vocabulary.zone).replace(tzinfo=None) if sent.tzinfo else sent
    told = Told(sheet, local, sender, context)
    ended = _keyword(told) or _muted(told)
    if ended is not None:
        return ended
    found, declined = _found(told)
    return _reading(found, sheet, declined)


def _marked(text: str, vocabulary: Vocabulary) -> Sheet:
    sheet = lay_out(text, vocabulary)
    mark_clocks(sheet)
    mark_places(sheet)
    mark_numbers(sheet)
    mark_slips(sheet)
    return sheet


def _keyword(told: Told) -> TextReading | None:
    """A carrier's keyword by itself, unless it answers a question with yes or no."""
    sheet = told.sheet
    words = [index for index, token in enumerate(sheet.tokens) if token.kind != "mark"]
    span = sheet.at("keyword", words[0]) if words else None
    typed = [sheet.tokens[index].text for index in words]
    if span is None or span.end - span.start != len(words) or typed != sheet.words[span.start : span.end]:
        return None
    if typed == ["yes"] and told.context.asked is not None:
        return None
    return TextReading("keyword", language=sheet.lexicon.language)


def _muted(told: Told) -> TextReading | None:
    whole = told.sheet.whole()
    spans = whole.spans("mute")
    if not spans or whole.has("crop") or len(told.sheet.tokens) > 20:
        return None
    return TextReading("none", language=told.sheet.lexicon.language, mute=True)


def _found(told: Told) -> tuple[list[Found], bool]:
    """The notes of a text, and whether it declines what was put to the sender."""
    parts = sentences(told.sheet)
    answer = answered(told)
    if answer is not None:
        return [*answer, *_besides(parts, told)], not answer
    for read in (corrected(told), coordinated(told, parts)):
        if read:
            return read, False
    return _told(parts, told), False


def _besides(parts: list[Sentence], told: Told) -> list[Found]:
    """What an answer tells besides: about a shift anything; else whole reports of another kind after it."""
    asked = told.context.asked
    rest = Told(told.sheet, told.sent, told.sender, Context())
    if asked is None or asked.about != "shift":
        draft = asked.draft.act if asked and asked.draft and asked.about not in ("confirm", "same") else None
        others = [one for one in _reported(parts[1:], rest) if not one.missing] if draft else []
        return [one for one in others if one.note.act != draft]
    timed = about_time(parts, rest, [], answering=True)
    return [*_reported(parts, rest), *(one for one in timed if not _on_its_day(one.note, told))]


def _on_its_day(note: Note, told: Told) -> bool:
    """Whether a time is only the day of the shift that was asked about ("see you tomorrow")."""
    asked = told.context.asked
    days = {one.start.date() for one in told.context.shifts if asked and one.id == asked.shift}
    return isinstance(note, Free) and {one.start.date() for one in note.windows} <= days and not note.weekly


def _told(parts: list[Sentence], told: Told) -> list[Found]:
    if not parts and "?" in told.sheet.words and len(told.sheet.words) <= 3:
        return [Found(Ask(about="help"))]
    questions = {part: question(part, told) for part in parts}
    asked = [one for one in questions.values() if one is not None]
    parts = [_before_asking(part) if found else part for part, found in questions.items()]
    listed = tasks(parts, told)
    reported = _reported(parts, told, but=bool(listed))
    reported = timed_once([*punched([piece for part in parts for piece in part.pieces], told), *reported])
    reported = _unasked(reported, asked) or ([] if asked or listed else bare_hours(told.sheet.whole(), told))
    if reported and all(one.note.act in ("arrive", "leave") for one in reported):  # "in 9:00, out 11:30, 2.5 hours"
        reported += [one for part in parts for piece in part.pieces for one in bare_hours(piece, told)]
    timed = [] if listed else about_time(parts, told, reported)
    if not (asked or listed or reported or timed):
        return unasked(told.sheet.whole(), told) or without_time(parts, told)
    found = [*_distinct(asked), *listed, *reported, *timed]
    counted = any(one.unit in PRODUCE for one in amounts(told.sheet.whole()))
    if (
        (listed and not counted)
        or any(one.missing for one in found)
        or not unaccounted(told.sheet, [one.note for one in found])
    ):
        return found
    return [*found[:-1], replace(found[-1], missing=("what",))]


def _unasked(reported: list[Found], asked: list[Found]) -> list[Found]:
    """The reports without those that only name what a question is about ("kale harvested, season total?")."""
    about = {(one.note.about, one.note.crop) for one in asked if isinstance(one.note, Ask)}
    return [one for one in reported if not (one.missing and (one.note.act, getattr(one.note, "crop", None)) in about)]


PRODUCE = frozenset({"heads", "bunches", "lb", "oz", "kg", "g"})
"""Units of what was picked, which a number of a task never has."""


def _distinct(asked: list[Found]) -> list[Found]:
    """The questions without those that another of the same kind asks more exactly."""
    return [
        one
        for one in asked
        if not any(other is not one and to_record(one.note).items() < to_record(other.note).items() for other in asked)
    ]


def _before_asking(part: Sentence) -> Sentence:
    """A sentence that asks the farm something, as a question whatever its mark."""
    return Sentence(part.clause, part.pieces, question=True)


def _reported(parts: list[Sentence], told: Told, but: bool = False) -> list[Found]:
    found = [one for report in reports(parts) for one in READERS[report.kind](report, told)]
    return [one for one in found if not (but and one.missing)]


def _reading(found: list[Found], sheet: Sheet, declined: bool) -> TextReading:
    notes = tuple(dict.fromkeys(one.note for one in found))
    missing = tuple(dict.fromkeys(slot for one in found for slot in one.missing))
    unknown = tuple(dict.fromkeys(sheet.unknown))
    if unknown and not any(isinstance(one, Announce) for one in notes) and (notes or _asks_place(sheet)):
        missing = tuple(dict.fromkeys((*missing, "where")))
    return TextReading(
        _verdict(notes, missing),
        notes,
        missing,
        unknown if missing else (),
        sheet.lexicon.language,
        declined=declined,
    )


def _asks_place(sheet: Sheet) -> bool:
    return any(one.value in ("tower", "shelf") for one in sheet.marks.get("thing", ()))


def _verdict(notes: tuple[Note, ...], missing: tuple[str, ...]) -> Verdict:
    if missing:
        return "ask"
    if not notes:
        return "none"
    return "answer" if all(isinstance(one, Ask) for one in notes) else "record"
