"""Questions to the farm: what each is about, and the crop, place, time or thing it names."""

from __future__ import annotations

from collections.abc import Callable

from core.notes import Ask
from service.understanding.clauses import Sentence
from service.understanding.found import Found, Told
from service.understanding.polarity import names_time, polarity_of
from service.understanding.sheet import Clause, Span
from service.understanding.tasks import task_numbers
from service.understanding.times import said_day, said_period
from service.understanding.water import measures

Evidence = Callable[[Clause], bool]


def _phrase(clause: Clause, about: str) -> bool:
    return clause.has(f"ask.{about}")


def _how_much(clause: Clause) -> bool:
    return clause.has("ask.much")


def _reading(clause: Clause) -> bool:
    return bool(measures(clause)) and not clause.has("act.calibrated") and not clause.has("act.added")


def _well(clause: Clause) -> bool:
    """ "is main ok", "como esta el vivero": of a tank and nothing else about it."""
    named = any(clause.has(one) for one in ("crop", "supply", "count", "place", "task"))
    return clause.has("tank") and _phrase(clause, "well") and not named


def _range(clause: Clause) -> bool:
    """ "what range should main ph be in", "what should main ph be"."""
    should = {"should", "be"} <= set(clause.words)
    return _reading(clause) and not clause.has("count") and (_phrase(clause, "range") or should)


def _hours(clause: Clause) -> bool:
    return (
        _phrase(clause, "hours")
        and not clause.has("crop")
        and (_how_much(clause) or clause.has("ask.hours"))
        and _mine(clause)
    )


def _mine(clause: Clause) -> bool:
    return any(one.end - one.start > 1 for one in clause.spans("ask.hours")) or (
        _how_much(clause)
        and any(one.value in ("how many", "how much") or one.end - one.start > 1 for one in clause.spans("ask.mark"))
    )


def _given(clause: Clause) -> bool:
    spans = clause.spans("ask.given")
    named = clause.has("crop") or clause.has("recipient") or any(one.end - one.start > 2 for one in spans)
    return bool(spans) and named and _how_much(clause)


def _harvested(clause: Clause) -> bool:
    if _how_much(clause) and clause.has("crop") and said_period(clause) and not clause.has("supply"):
        return not _phrase(clause, "given")
    return _phrase(clause, "harvest") and _how_much(clause) and not clause.has("ask.ready") and not clause.has("place")


def _forecast(clause: Clause) -> bool:
    """ "forecast", "what will we have next week", "how much kale next week"."""
    if clause.has("supply") or clause.has("place"):
        return False
    ahead = said_period(clause) == "next_week" and clause.has("crop") and _how_much(clause)
    return _phrase(clause, "forecast") or (ahead and not any(_phrase(clause, one) for one in ("plan", "given")))


def _stock(clause: Clause) -> bool:
    named = clause.has("supply") and (_phrase(clause, "stock") or clause.has("stock"))
    return named or clause.has("ask.supplies")


def _place(clause: Clause) -> bool:
    whole = clause.sheet.whole()
    return any(whole.has(one) for one in ("place", "rowless", "badplace")) and _phrase(clause, "place")


def _ready(clause: Clause) -> bool:
    spans = clause.spans("ask.ready")
    if any(one.end - one.start > 1 for one in spans):
        return True
    short = clause.end - clause.start <= 6 and clause.has("ask.mark")
    return bool(spans) and (short or any(clause.has(one) for one in READY_WITH))


READY_WITH = ("crop", "place", "rowless", "act.harvest", "thing")


def _roster(clause: Clause) -> bool:
    spans = clause.spans("ask.roster")
    timed = bool(said_period(clause)) or clause.has("day") or clause.has("time.date")
    asked = clause.sheet.is_mark(clause.end, "?")
    return bool(spans) and (
        timed or asked or any(one.end - one.start > 2 for one in spans) or clause.end - clause.start > 3
    )


def _graph(clause: Clause) -> bool:
    """ "graph main ph", "grafica del pH de main": a drawing of what was measured."""
    return _phrase(clause, "graph") and bool(measures(clause)) and not clause.has("count")


def _trouble(clause: Clause) -> bool:
    """ "what is broken?": of the farm, and of no crop, place or supply by name."""
    named = any(clause.has(one) for one in ("crop", "place", "supply"))
    return _phrase(clause, "trouble") and not named


def _within_tasks(clause: Clause) -> bool:
    """ "que me toca hacer": words about a shift inside a longer phrase about tasks."""
    tasks = clause.spans("ask.tasks")
    return all(
        any(one.start <= span.start and span.end < one.end for one in tasks) for span in clause.spans("ask.shift")
    )


ABOUT: tuple[tuple[str, Evidence], ...] = (
    ("graph", _graph),
    ("help", lambda clause: _phrase(clause, "help")),
    ("hours", _hours),
    ("calibration", lambda clause: clause.has("act.calibrated") or _phrase(clause, "calibration")),
    ("trend", lambda clause: _reading(clause) and _phrase(clause, "trend")),
    ("range", _range),
    ("reading", _reading),
    ("reading", _well),
    ("stock", _stock),
    ("ready", _ready),
    ("given", _given),
    ("forecast", _forecast),
    ("plan", lambda clause: _phrase(clause, "plan") and not clause.has("clock")),
    ("harvest", _harvested),
    ("place", _place),
    ("roster", _roster),
    ("shift", lambda clause: _phrase(clause, "shift") and not _within_tasks(clause)),
    ("trouble", _trouble),
    ("tasks", lambda clause: _phrase(clause, "tasks")),
)
"""What a question is about, the surest evidence first."""


def question(sentence: Sentence, told: Told) -> Found | None:
    """The question a sentence asks; None when it asks the farm nothing."""
    clause = sentence.clause
    alone = "harvest" if _totals(clause) else "graph" if _graph(clause) else _alone(sentence)
    if alone is not None:
        return Found(_asked(alone, clause, told), (), clause.start)
    if not (sentence.question or _starts_asking(sentence)):
        return None
    about = next((name for name, evidence in ABOUT if evidence(clause)), None) or _listed(clause, told)
    if about is None or (not sentence.question and _tells(clause, about)):
        return None
    if about == "reading" and _measured_before(sentence):
        return None
    if about == "roster" and told_before(sentence):
        return None
    if about == "shift" and not sentence.question and _excuses(clause):
        return None
    missing = ("where",) if about == "place" and not clause.sheet.whole().has("place") else ()
    return Found(_asked(about, clause, told), missing, clause.start)


def _listed(clause: Clause, told: Told) -> str | None:
    """ "how do i do 5" asks about a task on the list."""
    how = clause.sheet.at("ask.mark", clause.start) and not clause.sheet.at("ask.weak", clause.start)
    named = how and not clause.has("task", "done") and task_numbers(clause, told)
    return "tasks" if named and not any(clause.has(one) for one in ("crop", "supply", "place")) else None


def _totals(clause: Clause) -> bool:
    """ "Total romaine this season": a total of a crop over some time, with no figure."""
    crop = clause.sheet.at("crop", clause.start)
    begun = clause.sheet.at("word.total", crop.end if crop else clause.start) is not None
    return begun and clause.has("crop") and said_period(clause) is not None and not clause.has("count")


def _excuses(clause: Clause) -> bool:
    """ "tengo que trabajar el sabado" tells of other work; "do i work saturday" asks."""
    told = any(one.end - one.start > 1 for one in clause.spans("can", "no"))
    return told and not clause.sheet.at("ask.mark", clause.start)


def _measured_before(sentence: Sentence) -> bool:
    """ "The water was 68 when I measured it, is that all right?": the piece that asks names no measure."""
    told = [one for one in sentence.pieces[:-1] if measures(one) and one.has("count") and not asks(one)]
    return bool(told) and not measures(sentence.pieces[-1])


def told_before(sentence: Sentence) -> bool:
    """ "I won't be able to come Tuesday, will anyone be cross?": the day is told, and nobody asks who is on."""
    told = [one for one in sentence.pieces[:-1] if polarity_of(one) is False and names_time(one)]
    return bool(told) and not names_time(sentence.pieces[-1])


def _alone(sentence: Sentence) -> str | None:
    """What a word or two ask by themselves ("tasks", "roster sat"); some of them only with a question mark."""
    clause = sentence.clause
    if sentence.question and _only_supply(clause):
        return "stock"
    spans = clause.spans("alone") or (clause.spans("alone_asked") if sentence.question else [])
    if not spans or len(clause.sheet.tokens) > LONGEST_ALONE:
        return None
    longest = max(spans, key=lambda one: one.end - one.start)
    rest = [at for at in range(clause.start, clause.end) if not longest.start <= at < longest.end]
    if not all(clause.sheet.tokens[at].kind == "mark" or clause.sheet.within(at, *ALONE_WITH) for at in rest):
        return None
    about: str = longest.value
    return about


def _only_supply(clause: Clause) -> bool:
    """ "gloves?": the name of a supply and nothing else."""
    spans = clause.spans("supply")
    return (
        len(spans) == 1
        and len(clause.sheet.tokens) <= LONGEST_ALONE
        and all(
            clause.sheet.tokens[at].kind == "mark" or clause.sheet.within(at, "supply", "greeting", "word.article")
            for at in range(clause.start, clause.end)
        )
    )


LONGEST_ALONE = 9
"""Tokens of the whole text; in a longer one "who is there" is part of what is told."""

ALONE_WITH = (
    "greeting",
    "period",
    "day",
    "relday",
    "days",
    "word.article",
    "who",
    "ask_lead",
    "time.next",
    "time.date",
)


def _starts_asking(sentence: Sentence) -> bool:
    """Whether a piece of the sentence begins, greetings aside, with a word that asks."""
    return any(asks(piece) or _asks_after(piece) for piece in sentence.pieces) or _surely(sentence.clause)


def _asks_after(clause: Clause) -> bool:
    """ "is main ok": a helping verb, and at once the tank that it asks about."""
    helping = clause.sheet.at("ask.weak", clause.start)
    return helping is not None and clause.sheet.at("tank", helping.end) is not None and _well(clause)


def _surely(clause: Clause) -> bool:
    """A phrase of three words or more that begins like a question asks wherever it stands."""
    return any(
        one.end - one.start >= 3 and clause.sheet.at("ask.mark", one.start)
        for name, _ in ABOUT
        for one in clause.spans(f"ask.{name}")
    )


def asks(clause: Clause) -> bool:
    """Whether a clause begins, greetings aside, with a word that asks."""
    index = clause.start
    while index < clause.end:
        if clause.sheet.at("word.idiom", index):
            return False  # "quien sabe"
        if clause.sheet.at("ask.mark", index) or _asks_of(clause, index):
            return True
        opening = next((one for family in OPENINGS if (one := clause.sheet.at(family, index))), None)
        if opening is None:
            return False
        index = opening.end
    return False


OPENINGS = ("greeting", "who", "ask_lead")


def _asks_of(clause: Clause, index: int) -> bool:
    """Whether a phrase of some question begins here; a helping verb alone ("were out of gloves") asks nothing."""
    helping = clause.sheet.at("ask.weak", index) is not None
    named = [name for name, _ in ABOUT if helping or name in ("tasks", "shift", "roster", "help", "plan", "forecast")]
    spans = [clause.sheet.at(f"ask.{name}", index) for name in named]
    return any(span is not None and _asks_by_itself(clause, span, helping) for span in spans)


def _asks_by_itself(clause: Clause, span: Span, helping: bool) -> bool:
    """ "the list" asks when it is all that is said, "what is on the list" wherever it stands."""
    length = span.end - span.start
    return length > 2 or (length == 2 and (helping or clause.end - span.end <= 2))


def _tells(clause: Clause, about: str) -> bool:
    """Without a question mark, a number of something or a duty tells rather than asks."""
    plans = clause.spans("hedge.plan")
    if about == "stock" and plans and any(one.end <= plans[0].start for one in clause.spans("join.or")):
        return False  # "do we have bags or should I bring some"
    if about in ("reading", "stock") and (clause.has("hedge.plan") or clause.has("act.measured")):
        return True
    return clause.has("count") and not _how_much(clause)


CROP_ASKED = ("harvest", "given", "ready", "stock", "plan", "forecast")


def _asked(about: str, clause: Clause, told: Told) -> Ask:
    period = said_period(clause)
    past = about in ("reading", "graph", "harvest", "given", "hours", "place")
    by_itself = period in ("today", "tomorrow", "week", "next_week", "last_week")
    day = None if by_itself else said_day(clause, told.sent, past)
    if day is not None:
        period = None
    crop = clause.one("crop") if about in CROP_ASKED else None
    spans = clause.spans("place") or (clause.sheet.whole().spans("place") if about == "place" else [])
    codes = [code for one in spans for code in one.value]
    found = measures(clause)
    return Ask(
        about=about,
        crop=crop,
        place=codes[0] if codes and about in ("place", "ready") else None,
        item=clause.first("supply") if about == "stock" else None,
        measure=_measure(clause) if about in PROBED and found else None,
        where=clause.first("tank") if about in PROBED else None,
        period=period,
        date=day,
    )


PROBED = ("reading", "calibration", "graph", "trend", "range")
"""Questions about a measure in a tank."""


def _measure(clause: Clause) -> str | None:
    found = measures(clause)
    named = [one.value for one in found if one.value != "temp"]
    if named:
        value: str = named[0]
        return value
    watery = clause.has("tank") or any(one.value in ("water", "tank") for one in clause.spans("thing"))
    return "water_temp" if watery else "air_temp"
