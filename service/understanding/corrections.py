"""Words that take back or mend the last record."""

from __future__ import annotations

from core.notes import Correct, Note, Reading
from service.understanding.amounts import GRAMS, Amount, amounts
from service.understanding.clauses import sentences
from service.understanding.found import Found, Told
from service.understanding.sheet import Clause, Span
from service.understanding.water import in_units, measures

SHORT = 14
"""Tokens; up to this a text of slots and little words can be a correction by itself."""


def corrected(told: Told) -> list[Found] | None:
    """The correction a text makes of the last record; None when it makes none."""
    last = told.context.last
    clause = told.sheet.whole()
    if last is None:
        return [Found(Correct(undo=True))] if takes_back(clause) else None
    said = sentences(told.sheet)
    parts = [part for one in said for part in (one.clause, *one.pieces) if _denials(part)]
    for part in (clause, *(parts if clause.has("correct.mend") else ())):
        mended = mended_note(part, last, told)
        if mended is not None:
            return [Found(mended)]
    if clause.has("correct.undo") and not _new_report(clause) and not clause.has("word.stands"):
        return [Found(Correct(undo=True))]
    places = _bare_places(clause, last)
    return [Found(Correct(places=places))] if places else None


def takes_back(clause: Clause) -> bool:
    """Whether a text is the word UNDO and nothing else, which asks for it whatever else is going on."""
    small = ("word.undo", "greeting", "word.it")
    return clause.has("word.undo") and all(
        clause.sheet.tokens[at].kind == "mark" or clause.sheet.within(at, *small)
        for at in range(clause.start, clause.end)
    )


def drops(clause: Clause) -> bool:
    """Whether a text lets go of what was asked and says nothing else ("never mind that one", "mejor dejalo")."""
    small = ("word.drop", "greeting", "word.it", "answer", "word.article", "word.link", "number", "join.and")
    return clause.has("word.drop") and all(
        clause.sheet.tokens[at].kind == "mark" or clause.sheet.within(at, *small)
        for at in range(clause.start, clause.end)
    )


def _bare_places(clause: Clause, last: Note) -> tuple[str, ...]:
    """A list of towers and nothing else right after a record without places is where it was."""
    if last.act not in ("harvest", "loss", "clean") or getattr(last, "places", None):
        return ()
    if clause.has("count") or clause.has("crop") or not clause.has("place"):
        return ()
    covered = {index for one in clause.spans("place") for index in range(one.start, one.end)}
    rest = [index for index in range(clause.start, clause.end) if index not in covered]
    small = all(clause.sheet.tokens[index].kind != "word" or _small(clause, index) for index in rest)
    return tuple(code for one in clause.spans("place") for code in one.value) if small else ()


def _small(clause: Clause, index: int) -> bool:
    families = ("join.from", "join.to", "join.and", "greeting", "correct.mend", "thing", "act.harvest")
    return any(
        one.start <= index < one.end for family in families for one in clause.spans(family)
    ) or clause.sheet.within(index, "word.article", "word.link", "join.of")


def _new_report(clause: Clause) -> bool:
    acted = any(
        one.start >= 0
        for family in clause.sheet.marks
        if family.startswith("act.")
        for one in clause.spans(family)
        if not any(undo.start <= one.start < undo.end for undo in clause.spans("correct.undo"))
    )
    return acted and clause.has("count") and clause.has("crop")


def mended_note(clause: Clause, last: Note, told: Told) -> Correct | None:
    """The right value, and the old one where it is said ("24 not 42", "era perejil, no cilantro")."""
    if not _speaks_of_last(clause, last):
        return None
    for reader in (_crop, _places, _amount):
        mended = reader(clause, last, told)
        if mended is not None and not _changes_nothing(mended, last):
            return mended
    return None


def _changes_nothing(mended: Correct, last: Note) -> bool:
    """ "24 kale was wrong" says no other figure than the one recorded."""
    right = [
        (slot, value) for slot in ("count", "value", "crop", "weight_g") if (value := getattr(mended, slot)) is not None
    ]
    return bool(right) and all(getattr(last, slot, None) == value for slot, value in right)


def _speaks_of_last(clause: Clause, last: Note) -> bool:
    mends = [one for one in clause.spans("correct.mend") if not _calls_broken(clause, one)]
    if not mends or clause.has("answer", "thanks"):
        return False
    denied = bool(_denials(clause))
    acted = any(
        clause.spans(family) for family in clause.sheet.marks if family.startswith("act.") and family != "act.stand"
    )
    full = acted and clause.has("crop") and clause.has("count")
    strong = clause.has("correct.strong")
    if full and not (denied and strong):
        return False
    measured = bool(measures(clause)) and not isinstance(last, Reading)
    other = measured or clause.has("supply") or clause.has("recipient")
    return not other and (strong or denied or clause.end - clause.start <= SHORT)


def _denials(clause: Clause) -> list[Span]:
    """Words that deny what follows ("not", "no eran"), not those inside another phrase ("no wait")."""
    mends = clause.spans("correct.mend")
    return [
        one
        for one in clause.spans("correct.denial")
        if not any(mend.start <= one.start and one.end < mend.end for mend in mends) and not _calls_broken(clause, one)
    ]


def _calls_broken(clause: Clause, denial: Span) -> bool:
    """Whether a "no" begins a phrase that calls a thing broken ("no sirve"), and denies nothing that was recorded."""
    phrases = (*clause.spans("broken"), *clause.spans("use", "out"))
    return any(one.start == denial.start and denial.end < one.end for one in phrases)


def _is_wrong_one(clause: Clause, index: int) -> bool:
    """Whether a value is the one denied: "not 42", "instead of C6", "no eran 12"."""
    for span in _denials(clause):
        between = range(span.end, index)
        small = ("word.article", "join.from", "join.to", "join.of", "thing")
        if 0 <= index - span.end <= 2 and all(clause.sheet.within(one, *small) for one in between):
            return True
    return False


def _crop(clause: Clause, last: Note, told: Told) -> Correct | None:
    right = {one.value for one in clause.spans("crop") if not _is_wrong_one(clause, one.start)}
    wrong = {one.value for one in clause.spans("crop") if _is_wrong_one(clause, one.start)}
    same = getattr(last, "crop", None)
    right.discard(same)
    if len(right) != 1 or same is None:
        return None
    return Correct(crop=right.pop(), was=wrong.pop() if len(wrong) == 1 else None)


def _places(clause: Clause, last: Note, told: Told) -> Correct | None:
    spans = clause.spans("place")
    right = tuple(dict.fromkeys(code for one in spans if not _is_wrong_one(clause, one.start) for code in one.value))
    wrong = tuple(dict.fromkeys(code for one in spans if _is_wrong_one(clause, one.start) for code in one.value))
    if not right or clause.has("count"):
        return None
    old = tuple(getattr(last, "places", None) or ())
    if not wrong and len(spans) > 1 and set(right) > set(old):  # "I wrote C4 and it was D4"
        right, wrong = tuple(one for one in right if one not in old), tuple(one for one in right if one in old)
    return Correct(places=right, was=wrong or None)


def _amount(clause: Clause, last: Note, told: Told) -> Correct | None:
    given = [one for one in amounts(clause) if one.unit not in ("hours", "minutes", "years")]
    right = [one for one in given if not _is_wrong_one(clause, one.start)]
    wrong = [one for one in given if _is_wrong_one(clause, one.start)]
    said = [one for one in right if clause.sheet.before("correct.right", one.start)]
    right = said if len(said) == 1 else right  # "what I took for a 7 is a 1, so it should say 21"
    if len({one.value for one in right}) == 2 and not wrong:
        right, wrong = _by_order(clause, right, last)
    if not right and len(wrong) == 1 and wrong[0].value != getattr(last, "count", None):
        right, wrong = wrong, []  # "wait no 19"
    if len({one.value for one in right}) != 1 or right[0].vague:
        return None
    was = wrong[0].value if len(wrong) == 1 else None
    return _slot(right[0], was, last, told)


def _by_order(clause: Clause, given: list[Amount], last: Note) -> tuple[list[Amount], list[Amount]]:
    """Of two numbers the one that was recorded is the old one."""
    old = getattr(last, "count", None) or getattr(last, "value", None)
    return [one for one in given if one.value != old], [one for one in given if one.value == old]


def _slot(amount: Amount, was: float | None, last: Note, told: Told) -> Correct | None:
    if isinstance(last, Reading):
        wrong = in_units(last.measure, Amount(0, 0, was, amount.unit), told) if was is not None else None
        return Correct(value=in_units(last.measure, amount, told), was=wrong)
    if amount.unit in GRAMS:
        return Correct(weight_g=round(amount.value * GRAMS[amount.unit]), was=was)
    if getattr(last, "weight_g", None) is not None and getattr(last, "count", None) is None and amount.unit is None:
        return None
    return Correct(count=amount.value, was=was)
