"""From the words of one text to the notes it holds. Pure: no database, no clock, nothing read but the lexicon, once.

The way of a text, in this order: its words are laid out and marked (sheet, lexicon), then clock times, places and
numbers; a carrier's keyword or a wish to be left alone ends it there. What was asked last is answered first, then the
last record corrected, then what only a coordinator says; the rest are questions, tasks, reports and times of people.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime

from core.notes import ASKING, OF_ONESELF, Announce, Ask, Free, Note, ShiftAnswer, to_record
from core.vocabulary import Vocabulary
from service.understanding.amounts import amounts
from service.understanding.answers import answered
from service.understanding.check import unaccounted
from service.understanding.clauses import Sentence, sentences
from service.understanding.coordinator import coordinated
from service.understanding.corrections import corrected
from service.understanding.crew import bare_hours, punched, timed_once
from service.understanding.following import followed, taken_on
from service.understanding.found import Found, Told
from service.understanding.happened import dated, happened, mark_dates
from service.understanding.numbers import mark_numbers, mark_slips
from service.understanding.packets import mark_packets
from service.understanding.people import of_the_crew
from service.understanding.places import mark_places
from service.understanding.polarity import names_time
from service.understanding.questions import question
from service.understanding.ranges import ranged
from service.understanding.reading import (
    Asked,
    Context,
    ListedTask,
    Mute,
    ShiftAhead,
    TextReading,
    Verdict,
    context_from_record,
)
from service.understanding.reports import READERS, reports
from service.understanding.rest import about_time, without_time
from service.understanding.rostering import rostered
from service.understanding.scales import mark_scales
from service.understanding.setup import set_up
from service.understanding.sheet import Sheet, lay_out
from service.understanding.shifts import unasked
from service.understanding.speaking import Spoken, picker, spoken_for
from service.understanding.sums import summed
from service.understanding.supposed import supposed
from service.understanding.tasks import tasks
from service.understanding.times import mark_clocks

__all__ = ["Asked", "Context", "ListedTask", "ShiftAhead", "TextReading", "context_from_record", "understand"]

LONGEST_MUTE = 20
"""Tokens of a text that takes consent back; a longer one is about something else."""


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
    spoken = spoken_for(text, sender, vocabulary)
    theirs = _of_theirs(spoken, sender, sent, vocabulary, context) if spoken else None
    if theirs is not None:
        return theirs
    if spoken:  # whatever it is, it says nothing of the sender's own shifts
        context = replace(context, shifts=(), asked=context.asked if _is_of_a_draft(context.asked) else None)
    sheet = _marked(text, vocabulary)
    local = sent.astimezone(vocabulary.zone).replace(tzinfo=None) if sent.tzinfo else sent
    told = Told(sheet, local, sender, context)
    ended = _keyword(told) or _muted(told)
    if ended is not None:
        return ended
    found, answer = _found(told)
    reading = _reading(found, sheet, answer)
    return replace(reading, mute="within") if reading.verdict == "none" and _perhaps_muted(told) else reading


def _of_theirs(
    spoken: tuple[Spoken, ...], sender: str, sent: datetime, vocabulary: Vocabulary, context: Context
) -> TextReading | None:
    """What a text says of the time of others and of nothing else, read as each would say it; None for any other."""
    readings = []
    for one in spoken:
        own = Context(shifts=context.shifts if one.whom == sender else context.theirs.get(one.whom, ()))
        reading = understand(one.words, sent=sent, sender=one.whom, vocabulary=vocabulary, context=own)
        if not reading.notes or not all(isinstance(note, OF_ONESELF) for note in reading.notes):
            return None
        whom = None if one.whom == sender else one.whom
        timed = names_time(_marked(one.words, vocabulary).whole())
        readings.append(
            replace(reading if timed or whom is None else _which(reading), for_whom=(whom,) * len(reading.notes))
        )
    missing = tuple(dict.fromkeys(slot for one in readings for slot in one.missing))
    notes = tuple(note for one in readings for note in one.notes)
    for_whom = tuple(whom for one in readings for whom in one.for_whom)
    return replace(
        readings[0], verdict=_verdict(notes, missing), notes=notes, missing=missing, for_whom=for_whom, happened_at=()
    )


def _which(reading: TextReading) -> TextReading:
    """A no for somebody else that names no time is about no shift yet, however few they have: it is asked about."""
    notes = tuple(
        replace(note, shift=None) if isinstance(note, ShiftAnswer) and note.answer != "late" else note
        for note in reading.notes
    )
    return reading if notes == reading.notes else replace(reading, notes=notes, missing=("which",))


def _is_of_a_draft(asked: Asked | None) -> bool:
    return asked is not None and asked.about != "shift"


def _marked(text: str, vocabulary: Vocabulary) -> Sheet:
    sheet = lay_out(text, vocabulary)
    mark_packets(sheet)
    mark_scales(sheet)
    mark_clocks(sheet)
    mark_places(sheet)
    mark_dates(sheet)
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
    if whole.has("crop") or len(told.sheet.tokens) > LONGEST_MUTE:
        return None
    mute: Mute | None = "clear" if whole.has("mute") else "bare" if _is_only_stop(told) else None
    return TextReading("none", language=told.sheet.lexicon.language, mute=mute) if mute else None


def _is_only_stop(told: Told) -> bool:
    """ "stop it", "hi, please stop": words that could be about anything, and nothing that they could be about."""
    sheet = told.sheet
    words = [at for at, token in enumerate(sheet.tokens) if token.kind != "mark"]
    return _perhaps_muted(told) and all(sheet.within(at, "perhaps_mute", "greeting") for at in words)


def _perhaps_muted(told: Told) -> bool:
    return told.sheet.whole().has("perhaps_mute")


def _found(told: Told) -> tuple[list[Found], list[Found] | None]:
    """The notes of a text, and those that answer what was put to the sender: None for no answer, [] for a no."""
    bounded = ranged(told)
    if bounded is not None:
        return bounded, None
    reckoned = summed(told)
    if reckoned is not None:
        return reckoned, None
    wondered = supposed(told)
    if wondered is not None:
        return wondered, None
    parts = sentences(told.sheet)
    taken = taken_on(told)
    if taken is not None and (told.context.asked is None or told.context.asked.about == "shift"):
        return taken, None
    answer = answered(told)
    if answer is not None:
        return [*answer, *_besides(parts, told)], answer
    for read in (of_the_crew(told), rostered(told), corrected(told), coordinated(told, parts), set_up(told, parts)):
        if read:
            return read, None
    found = _told(parts, told)
    return followed(told, found) or found, None


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
    told_of = reports(parts)
    found = [
        one
        for report, moments in zip(told_of, happened(told_of, parts, told), strict=True)
        for one in _of(picker(report, told), dated(READERS[report.kind](report, told), moments))
    ]
    return [one for one in found if not (but and one.missing)]


def _of(whom: str | None, found: Iterable[Found]) -> Iterator[Found]:
    return (replace(one, for_whom=whom) for one in found)


def _reading(found: list[Found], sheet: Sheet, answer: list[Found] | None) -> TextReading:
    told = tuple(dict.fromkeys((one.note, one.happened_at, one.for_whom) for one in found))
    notes = tuple(note for note, _, _ in told)
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
        declined=answer == [],
        answered=answer is not None,
        happened_at=tuple(at for _, at, _ in told),
        for_whom=tuple(whom for _, _, whom in told),
    )


def _asks_place(sheet: Sheet) -> bool:
    return any(one.value in ("tower", "shelf") for one in sheet.marks.get("thing", ()))


def _verdict(notes: tuple[Note, ...], missing: tuple[str, ...]) -> Verdict:
    if missing:
        return "ask"
    if not notes:
        return "none"
    return "answer" if all(isinstance(one, ASKING) for one in notes) else "record"
