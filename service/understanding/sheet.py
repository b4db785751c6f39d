"""A text with everything marked that its words can mean, and the stretches of it that readers look at."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass, field
from operator import attrgetter
from typing import Any

from core.vocabulary import Vocabulary
from service.understanding.lexicon import Lexicon, words_of
from service.understanding.tokens import Token, tokens, typed


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of tokens (`start` up to but not including `end`) and what it means."""

    start: int
    end: int
    value: Any


_start = attrgetter("start")


@dataclass(slots=True, eq=False)
class Sheet:
    """One text on the table: its tokens, its words as meant, and per family of meanings the spans that carry them.

    `taken` are tokens that belong to a place or a clock time, so that they are no counts. `unknown` are codes that
    look like places of this farm and are none.
    """

    text: str
    tokens: list[Token]
    words: list[str]
    lexicon: Lexicon
    vocabulary: Vocabulary
    marks: dict[str, list[Span]] = field(default_factory=dict)
    taken: set[int] = field(default_factory=set)
    unknown: list[str] = field(default_factory=list)

    def mark(self, family: str, start: int, end: int, value: Any) -> None:
        """Add a span to a family, keeping the spans in the order of the text."""
        spans = self.marks.setdefault(family, [])
        spans.append(Span(start, end, value))
        if len(spans) > 1 and spans[-2].start > start:
            spans.sort(key=lambda span: span.start)

    def at(self, family: str, index: int) -> Span | None:
        """The span of a family that begins at a token."""
        spans = self.marks.get(family)
        if not spans:
            return None
        found = bisect_left(spans, index, key=_start)
        return spans[found] if found < len(spans) and spans[found].start == index else None

    def before(self, family: str, index: int) -> Span | None:
        """The span of a family that ends just before a token."""
        return next((span for span in self.marks.get(family, ()) if span.end == index), None)

    def within(self, index: int, *families: str) -> bool:
        """Whether a token is part of a span of one of the families."""
        return any(span.start <= index < span.end for family in families for span in self.marks.get(family, ()))

    def is_mark(self, index: int, *signs: str) -> bool:
        """Whether a token is one of some signs."""
        return 0 <= index < len(self.words) and self.words[index] in signs

    def number_like(self, index: int) -> bool:
        """Whether a token is written in digits."""
        return 0 <= index < len(self.tokens) and self.tokens[index].kind == "number"

    def whole(self) -> Clause:
        """The whole text as one clause."""
        return Clause(self, 0, len(self.tokens))


@dataclass(frozen=True, slots=True)
class Clause:
    """A stretch of a sheet that is read on its own."""

    sheet: Sheet
    start: int
    end: int

    def spans(self, family: str, *values: Any) -> list[Span]:
        """The spans of a family within the clause, all or those with one of the values."""
        found = self.sheet.marks.get(family)
        if not found:
            return []
        inside = found[bisect_left(found, self.start, key=_start) : bisect_left(found, self.end, key=_start)]
        return [one for one in inside if one.end <= self.end and (not values or one.value in values)]

    def has(self, family: str, *values: Any) -> bool:
        """Whether anything of a family is in the clause."""
        return bool(self.spans(family, *values))

    def first(self, family: str, *values: Any) -> Any:
        """The value of the first span of a family, or None."""
        found = self.spans(family, *values)
        return found[0].value if found else None

    def one(self, family: str) -> Any:
        """The value of a family when the clause names exactly one, or None."""
        found = {span.value for span in self.spans(family)}
        return found.pop() if len(found) == 1 else None

    @property
    def words(self) -> list[str]:
        """The words as meant."""
        return self.sheet.words[self.start : self.end]

    @property
    def text(self) -> str:
        """The stretch of the text as typed."""
        if self.start >= self.end:
            return ""
        return self.sheet.text[self.sheet.tokens[self.start].start : self.sheet.tokens[self.end - 1].end]


def lay_out(text: str, vocabulary: Vocabulary) -> Sheet:
    """The text with its words' meanings marked; numbers, places and times are marked by their own rooms."""
    text = typed(text)
    found = tokens(text)
    words_of_farm = words_of(vocabulary)
    plain = [token.text for token in found]
    lexicon = words_of_farm.lexicons[words_of_farm.language_of(text.lower(), plain)]
    words = [lexicon.spelled(one.text) if one.kind == "word" else one.text for one in found]
    sheet = Sheet(text, found, words, lexicon, vocabulary)
    _mark_words(sheet)
    return sheet


def _mark_words(sheet: Sheet) -> None:
    """Mark, for each family by itself, the longest phrase at each place that does not overlap an earlier one."""
    free: dict[str, int] = {}
    for start in range(len(sheet.words)):
        longest: dict[str, tuple[int, str]] = {}
        for end, meanings in sheet.lexicon.walk(sheet.words, start):
            for family, meaning in meanings.items():
                longest[family] = (end, meaning)
        for family, (end, meaning) in longest.items():
            if free.get(family, 0) <= start:
                sheet.marks.setdefault(family, []).append(Span(start, end, meaning))
                free[family] = end
    others = sheet.marks.get("act_other", ())
    if others:
        for family in [one for one in sheet.marks if one.startswith("act.")]:
            sheet.marks[family] = [one for one in sheet.marks[family] if not overlaps(one, others)]


def overlaps(span: Span, others: Iterable[Span]) -> bool:
    """Whether a span shares a token with one of the others."""
    return any(span.start < one.end and one.start < span.end for one in others)
