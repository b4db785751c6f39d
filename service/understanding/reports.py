"""Which stretch of a text reports what: the kinds of reports are one table, read from the surest evidence down."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from service.understanding import crew, dosing, evidence, growing, house, water
from service.understanding.amounts import amounts
from service.understanding.clauses import Sentence
from service.understanding.found import Found, Report, Told
from service.understanding.questions import asks
from service.understanding.sheet import Clause

Evidence = Callable[[Clause], bool]
Reader = Callable[[Report, Told], Iterator[Found]]

KINDS: tuple[tuple[str, Evidence, Reader], ...] = (
    ("calibrated", evidence.calibrated, dosing.calibrated),
    ("hours", evidence.hours, crew.hours),
    ("added", evidence.added, dosing.added),
    ("clean", evidence.clean, house.clean),
    ("gave", evidence.gave, growing.gave),
    ("stand", evidence.stand, growing.stand),
    ("sow", evidence.sow, growing.sow),
    ("move", evidence.move, growing.move),
    ("loss", evidence.loss, growing.loss),
    ("harvest", evidence.harvest, growing.harvest),
    ("stock", evidence.stock, house.stock),
    ("reading", evidence.reading, water.reading),
    ("trouble", evidence.trouble, house.trouble),
    ("arrive", evidence.arrive, crew.arrive),
    ("leave", evidence.leave, crew.leave),
)
READERS = {kind: reader for kind, _, reader in KINDS}
PLANT_KINDS = frozenset({"harvest", "loss", "sow", "stand", "move", "gave", "added"})


def kind_of(piece: Clause) -> str | None:
    """What a piece reports by itself, None when nothing."""
    return next((kind for kind, evidence, _ in KINDS if evidence(piece)), None)


def reports(sentences: list[Sentence]) -> list[Report]:
    """The reports of a text: pieces without a verb of their own go on with the report before, or wait for the next."""
    found: list[Report] = []
    for sentence in sentences:
        if sentence.clause.has("hedge.hearsay") and sentence.clause.has("word.doubt"):
            continue
        future = evidence.planned(sentence.clause)
        waiting: int | None = None
        for piece in _told_pieces(sentence):
            waiting = _read_on(found, piece, waiting, sentence, future)
        if waiting is not None:
            last = max(one.end for one in sentence.pieces if _has_slots(one))
            found.extend(_implied(Clause(sentence.clause.sheet, waiting, last), future))
    if not found and sentences and not any(one.question for one in sentences):
        found = _in_all(sentences)
    return [one for one in found if one.kind != "void" and not (one.kind == "trouble" and house.taken_back(one.clause))]


def _read_on(found: list[Report], piece: Clause, waiting: int | None, sentence: Sentence, future: bool) -> int | None:
    """Take a piece into the reports; the token from which pieces wait for a verb, or None."""
    kind = None if future else kind_of(piece)
    if kind is None:
        return _without_verb(found, piece, waiting, sentence, future)
    if kind == "trouble" and found and found[-1].kind == "loss" and piece.has("crop") and piece.has("count"):
        found[-1] = Report("loss", Clause(piece.sheet, found[-1].clause.start, piece.end), found[-1].before)
        return waiting  # "lost 3 kale and 2 romaine to aphids"
    before = Clause(piece.sheet, piece.start if waiting is None else waiting, piece.start)
    if waiting is not None and _stands_alone(kind, before, piece):
        found.extend(_implied(before, future))
        before = Clause(piece.sheet, piece.start, piece.start)
    if kind == "harvest" and not piece.has("crop") and _spoiled(before):
        kind = "loss"  # "A7 romaine all bolted, pulled 6"
    _add(found, kind, Clause(piece.sheet, before.start, piece.end))
    return None


def _without_verb(
    found: list[Report], piece: Clause, waiting: int | None, sentence: Sentence, future: bool
) -> int | None:
    if _denied(piece):
        found.append(Report("void", piece))
        return waiting
    if waiting is not None and evidence.any_hedge(piece) and piece.has("place"):
        found.extend(_implied(Clause(piece.sheet, waiting, piece.start), future))
        return None  # "12 romaine A1 done, still have to do A2"
    return _carry_on(found, piece, waiting, sentence)


SHORTEST = 12
"""Words; the sentences of a text of so few may tell one thing together ("Slugs!! In E4, on the mint")."""


def _in_all(sentences: list[Sentence]) -> list[Report]:
    """A short text read as one: trouble, or a report with its mistaken words put right by single ones behind it."""
    whole = sentences[0].clause.sheet.whole()
    words = sum(token.kind == "word" for token in whole.sheet.tokens)
    if words > SHORTEST or evidence.planned(whole) or evidence.any_hedge(whole):
        return []
    kind = kind_of(whole)
    righted = any(_rights(one.clause) for one in sentences[1:])
    if kind == "trouble" or (righted and kind in ("harvest", "loss", "clean", "gave", "stock")):
        return [Report(kind, whole)]
    return _implied(whole, future=False) if righted else []


RIGHTED = ("crop", "act.harvest", "act.clean", "act.loss", "act.gave", "recipient", "cleanable", "reason", "supply")
"""What a single word behind a sentence puts right in it."""


def _rights(clause: Clause) -> bool:
    """ "HARVESTED.", "Romaine.": one word that a phone had written wrongly before."""
    return clause.end - clause.start == 1 and any(clause.has(one) for one in RIGHTED)


def _spoiled(clause: Clause) -> bool:
    return clause.has("crop") and any(one.value != "other" for one in clause.spans("reason"))


def _stands_alone(kind: str, waiting: Clause, piece: Clause) -> bool:
    """Whether what waits for a verb is a harvest of its own: it has crop and number, and the verb is for neither."""
    whole = waiting.has("crop") and waiting.has("count")
    return whole and (kind not in PLANT_KINDS or (kind == "loss" and not piece.has("crop")))


def _told_pieces(sentence: Sentence) -> list[Clause]:
    """The pieces that tell: all of a statement, those before the one that asks in a question."""
    if not sentence.question:
        return list(sentence.pieces)
    if sentence.clause.has("word.why") and kind_of(sentence.clause) == "trouble":
        return [sentence.clause]  # why something is wrong is asked of what is so
    asking = next((at for at, piece in enumerate(sentence.pieces) if asks(piece)), len(sentence.pieces) - 1)
    return list(sentence.pieces[:asking])


GROWING = ("harvest", "loss", "sow", "stand", "move", "plant", "clean")


def _denied(piece: Clause) -> bool:
    """Whether a piece denies or plans an act, so that what follows it does not count either."""
    acts = [one for act in GROWING for one in piece.spans(f"act.{act}")]
    return bool(acts) and piece.has("crop") and any(evidence.unreal(piece, one) for one in acts)


SLOTS = frozenset(
    {
        "act.harvest",
        "act.loss",
        "badplace",
        "act.stand",
        "crop",
        "place",
        "rowless",
        "cull",
        "tank",
        "supply",
        "cleanable",
        "reason",
    }
)


def _has_slots(piece: Clause) -> bool:
    counted = any(one.unit not in ("hours", "minutes", "years", "times") for one in amounts(piece))
    return counted or any(piece.has(family) for family in SLOTS) or piece.has("trouble", "sensor")


def _carry_on(found: list[Report], piece: Clause, waiting: int | None, sentence: Sentence) -> int | None:
    if found and found[-1].kind == "trouble" and piece.has("act.loss") and found[-1].clause.has("crop"):
        found[-1] = Report("loss", Clause(piece.sheet, found[-1].clause.start, piece.end), found[-1].before)
        return None
    none_there = piece.sheet.at("word.nil", piece.start) and found and found[-1].kind in ("trouble", "loss")
    if none_there or (piece.sheet.at("word.aside", piece.start) and not piece.has("crop")):
        return waiting  # "which is more than I ever had on Route 9"
    if not _has_slots(piece) and not (piece.has("clock") and found and found[-1].kind in ("arrive", "leave")):
        return waiting
    if found and found[-1].kind == "harvest" and piece.has("act.loss") and _was_lost(found[-1], piece):
        found[-1] = Report("loss", Clause(piece.sheet, found[-1].clause.start, piece.end), found[-1].before)
        return None
    if found and found[-1].kind == "gave" and piece.has("recipient") and piece.has("count"):
        found.append(Report("gave", piece, found[-1]))
        return None
    if found and found[-1].clause.end >= sentence.clause.start - 40 and _fits(found[-1], piece):
        last = found.pop()
        found.append(Report(last.kind, Clause(piece.sheet, last.clause.start, piece.end), last.before))
        return None
    where = piece.has("place") or piece.has("rowless") or piece.has("tank")
    if waiting is None and piece.has("crop") and not (where or piece.has("count")) and evidence.any_hedge(piece):
        return None  # "no kale today, 9 mint"
    return piece.start if waiting is None else waiting


def _fits(report: Report, piece: Clause) -> bool:
    """Whether a piece without a verb can go on with a report."""
    if report.kind in ("harvest", "loss", "sow", "stand", "move"):
        return any(
            piece.has(one) for one in ("crop", "count", "place", "rowless", "badplace", "cull", "reason", "act.loss")
        ) and not _own_supply(piece)
    if piece.has("crop") and piece.has("count") and report.kind not in PLANT_KINDS:
        return report.kind == "stock" and report.clause.has("supply", "seed") and not strange(piece)
    if report.kind == "void" and piece.has("count") and piece.has("crop"):
        return bool({one.value for one in piece.spans("crop")} & {one.value for one in report.clause.spans("crop")})
    if report.kind == "trouble" and not report.clause.has("crop") and piece.has("crop") and not piece.has("count"):
        return house.trouble_kind(report.clause) in ("pest", "disease")
    wanted = {
        "gave": ("crop", "count"),
        "clean": ("cleanable", "place", "tank", "act.worked"),
        "arrive": ("clock",),
        "leave": ("clock",),
        "added": ("supply", "count", "tank"),
        "reading": ("count", "tank"),
        "stock": ("supply", "count"),
        "calibrated": ("measure", "tank"),
        "trouble": ("place", "tank", "rowless"),
        "void": ("count", "place", "crop"),
    }
    return any(piece.has(one) for one in wanted.get(report.kind, ()))


def _own_supply(piece: Clause) -> bool:
    """Whether a supply is named that is no unit of a count ("72 plugs")."""
    counted = amounts(piece)
    return any(not any(one.start <= item.start < one.end for one in counted) for item in piece.spans("supply"))


def _add(found: list[Report], kind: str, clause: Clause) -> None:
    last = found[-1] if found else None
    if last is not None and kind == "loss" and last.kind == "harvest" and _was_lost(last, clause):
        found[-1] = Report("loss", Clause(clause.sheet, last.clause.start, clause.end), last.before)
        return
    if last is not None and _is_same(last, kind, clause):
        found[-1] = Report(last.kind, Clause(clause.sheet, last.clause.start, clause.end), last.before)
        return
    found.append(Report(kind, clause, last))


def _was_lost(last: Report, clause: Clause) -> bool:
    """ "pulled 4 oakleaf with tipburn, trashed em": all that was picked was thrown out."""
    reasons = [one for one in last.clause.spans("reason") if one.value != "other"]
    once = len(last.clause.spans("count")) == 1
    return bool(reasons) and once and not clause.has("count") and not clause.has("crop")


def _is_same(last: Report, kind: str, clause: Clause) -> bool:
    """A word for throwing out right after a harvest is what was culled; the same act told on is one report."""
    if last.kind == "harvest" and kind == "loss":
        own = {one.value for one in clause.spans("crop")} - {one.value for one in last.clause.spans("crop")}
        apart = clause.has("place") and (last.clause.has("place") or not clause.has("cull"))
        return not own and not apart  # "20 kale and 4 culled from D9" is of one tower
    if kind == last.kind == "trouble":
        return house.trouble_kind(last.clause) == house.trouble_kind(clause)
    if kind != last.kind or kind in ("reading", "stock", "hours", "clean", "added", "calibrated", "arrive", "leave"):
        return False
    return not clause.has("crop") or not last.clause.has("crop")


def _implied(clause: Clause, future: bool) -> list[Report]:
    """What pieces without a verb of their own come to together, or else a harvest.

    Crops with numbers and nothing else ("12 romaine A1-2"), or a number with places, are a harvest.
    """
    kind = None if future else kind_of(clause)
    counted = amounts(clause)
    some = evidence.culls_some(clause) and counted[0].unit in (None, "heads", "bunches") and not future
    some = some and not clause.has("hedge.hearsay")
    if (some and kind in (None, "loss", "trouble")) or (kind == "loss" and _culls(clause)):
        return [Report("harvest", clause)]  # "16 pak choi E1-E2, 1 was junk so i tossed it"
    if kind in PLANT_KINDS or kind == "trouble":
        return [Report(kind, clause)]
    placed = clause.has("place") or clause.has("rowless") or clause.has("badplace")
    if future or not clause.has("count") or not (placed or clause.has("crop")):
        return []
    if any(not clause.sheet.vocabulary.is_tower(code) for one in clause.spans("place") for code in one.value):
        return []
    if evidence.any_hedge(clause) or clause.has("hedge.hearsay") or clause.has("recipient"):
        return []
    if clause.has("word.standing"):
        return []  # "12 romaine ready in A1"
    if any(one.value not in ("today", "tomorrow") for one in clause.spans("period")):
        return []  # "that makes 40 romaine this week"
    timed = ("hours", "minutes") if clause.has("crop") else ()
    if any(one.unit not in (None, "heads", "bunches", "lb", "oz", "kg", "g", *timed) for one in counted):
        return []
    allowed = (
        0
        if not clause.has("crop")
        else 3
        if placed
        else 1
        if clause.has("unit", "heads", "bunches", "lb", "oz", "kg")
        else 0
    )
    return [Report("harvest", clause)] if len(strange(clause)) <= allowed else []


def _culls(clause: Clause) -> bool:
    return len(clause.spans("count")) > 1 and clause.has("cull") and not clause.has("reason")


def strange(clause: Clause) -> list[int]:
    """The words of a clause that mean nothing here."""
    families = (
        "act.harvest",
        "crop",
        "count",
        "unit",
        "place",
        "rowless",
        "badplace",
        "greeting",
        "relday",
        "part",
        "clock",
        "tank",
        "period",
        "cull",
        "who",
        "join.and",
        "join.from",
        "correct.mend",
    )
    covered = {index for family in families for one in clause.spans(family) for index in range(one.start, one.end)}
    return [
        index
        for index in range(clause.start, clause.end)
        if index not in covered
        and clause.sheet.tokens[index].kind == "word"
        and not clause.sheet.within(index, "word.filler")
    ]
