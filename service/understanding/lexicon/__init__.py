"""The words of each language, one data file a language, and the table they make together with one farm's own names."""

from __future__ import annotations

import re
import tomllib
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from rapidfuzz import process
from rapidfuzz.distance import OSA

from core.vocabulary import Names, Vocabulary
from service.understanding.lexicon.tree import Graft, Node
from service.understanding.tokens import tokens

DATA = Path(__file__).parent

SPELLED = frozenset(
    {"act", "crop", "tank", "supply", "recipient", "measure", "day", "cleanable", "trouble"}
    | {"arrive", "leave", "reason", "part", "relday", "thing", "floor"}
)
"""Families whose words are recognised with a slip of the finger; numbers never are, for one is too near another."""

SPLIT = frozenset({"act", "ask", "correct", "hedge", "join", "time", "vague", "word"})
"""Tables whose meanings overlap ("from" begins a time, a place and a range): each meaning is a family of its own."""

RULES = frozenset({"sounds", "variants"})
"""Tables that say how words are written, no words themselves."""

Entries = dict[str, dict[str, list[str]]]
Match = tuple[int, Mapping[str, str]]


@dataclass(frozen=True, slots=True)
class Lexicon:
    """The phrases of all of a farm's languages, read with one of them first, and the farm's names.

    `known`: every single word that means anything, so that it is never taken for a slip of another.
    `own`: those of them that stand in a phrase of the language itself.
    `fuzzy`: the words that a slip may stand for.
    `crops`: the one-word names of crops and the crop of each.
    `sounds`: for each word its sound, and the word that is meant by another one of that sound.
    `fixed`: slips already looked up; it only saves time.
    """

    language: str
    root: Node
    known: frozenset[str]
    own: frozenset[str]
    fuzzy: tuple[str, ...]
    crops: Mapping[str, str]
    sounds: Mapping[str, str] = field(default_factory=dict)
    fixed: dict[str, str] = field(default_factory=dict)

    def spelled(self, word: str) -> str:
        """The word meant by one that was mistyped; itself when it is known, too short or like no other."""
        if word in self.known or len(word) < 3:
            return word
        if word not in self.fixed:
            if len(self.fixed) > 20_000:
                self.fixed.clear()
            self.fixed[word] = self._nearest(word)
        return self.fixed[word]

    def _nearest(self, word: str) -> str:
        short = re.sub(r"(.)\1{2,}", r"\1", word)
        if short in self.known:
            return short
        heard = self._heard(short)
        if heard != short:
            return heard
        swapped = [one for one in _swapped(short) if one in self.own]
        if len(swapped) == 1:
            return swapped[0]
        if len(short) < 4:
            return word
        slips = 1 if len(short) < 8 else 2
        near = process.extract(short, self.fuzzy, scorer=OSA.distance, score_cutoff=slips, limit=3)
        if len(short) == 4:
            near = [one for one in near if sorted(one[0]) == sorted(short)]
        same_start = [one for one, _, _ in near if one[0] == short[0] or one[:2] == short[1::-1]]
        return same_start[0] if same_start else self._shortened(short)

    def _heard(self, word: str) -> str:
        """The word that sounds like one written by ear ("juebes", "ise")."""
        return self.sounds.get(sound(word, self.language), word) if self.sounds else word

    def _shortened(self, word: str) -> str:
        """The one word that was written without some of its letters ("oaklf", "hvstd")."""
        if len(word) < 5:
            return word
        long = [
            one
            for one in self.fuzzy
            if one[0] == word[0]
            and one[-1] == word[-1]
            and len(word) < len(one) <= 2 * len(word)
            and _within(word, one)
        ]
        return long[0] if len(long) == 1 else word

    def walk(self, words: list[str], start: int) -> Iterator[Match]:
        """Each phrase that begins at a word: where it ends and what it means, the shortest first."""
        node = self.root
        for end in range(start, len(words)):
            following = node.next.get(words[end])
            if following is None:
                return
            node = following
            if node.meanings:
                yield end + 1, node.meanings


def _swapped(word: str) -> Iterator[str]:
    """A word with two neighbouring letters in the other order ("goign", "nxet")."""
    for at in range(len(word) - 1):
        if word[at] != word[at + 1]:
            yield word[:at] + word[at + 1] + word[at] + word[at + 2 :]


def _within(word: str, longer: str) -> bool:
    """Whether a word is a longer one without some vowels; one without any vowel may lack a consonant as well."""
    letters = iter(longer)
    if not all(letter in letters for letter in word):
        return False
    lost = sum(one not in VOWELS for one in longer) - sum(one not in VOWELS for one in word)
    return lost == 0 or (lost == 1 and not VOWELS & set(word))


VOWELS = frozenset("aeiou")


@cache
def entries(language: str) -> Entries:
    """The data file of one language."""
    with (DATA / f"{language}.toml").open("rb") as file:
        return tomllib.load(file)


def languages() -> tuple[str, ...]:
    """The languages there is a data file for."""
    return tuple(sorted(path.stem for path in DATA.glob("*.toml")))


@cache
def _own_words(language: str) -> frozenset[str]:
    return frozenset(
        word
        for family, table in entries(language).items()
        for phrases in table.values()
        for phrase in phrases
        for word in phrase.split()
        if family not in ("keyword", *RULES)
    )


def sound(word: str, language: str) -> str:
    """How a word sounds, by the rules of its language's data file, so that words written by ear come out alike."""
    for heard, letters in entries(language).get("sounds", {}).items():
        for one in letters:
            word = re.sub(one, heard, word)
    return word


def _sounds(language: str, words: Iterable[str], others: Mapping[str, str]) -> dict[str, str]:
    """Each sound with the word it means, the first of the alphabet where several sound alike."""
    heard = dict(others)
    if "sounds" not in entries(language):
        return heard
    for word in words:
        if len(word) > 2:
            sounded = sound(word, language)
            heard[sounded] = min(word, heard.get(sounded, word))
    return heard


@dataclass(frozen=True, slots=True)
class Words:
    """Everything one farm's texts are read with: a lexicon for each language it may be written in."""

    lexicons: Mapping[str, Lexicon]
    first: str
    telling: Mapping[str, str]

    def language_of(self, text: str, words: list[str]) -> str:
        """The language most of a text's words belong to; the farm's first one where nothing tells them apart."""
        votes: dict[str, int] = defaultdict(int)
        for word in words:
            language = self.telling.get(word)
            if language:
                votes[language] += 1
        for language in self.lexicons:
            for letter in entries(language).get("signs", {}).get("own", ()):
                votes[language] += 2 * (letter in text)
        return max(self.lexicons, key=lambda one: (votes[one], one == self.first))


_words: dict[int, tuple[Vocabulary, Words]] = {}


def words_of(vocabulary: Vocabulary) -> Words:
    """The words of a farm, built once for each vocabulary value."""
    kept = _words.get(id(vocabulary))
    if kept is not None and kept[0] is vocabulary:
        return kept[1]
    if len(_words) > 64:
        _words.clear()
    built = _build(vocabulary)
    _words[id(vocabulary)] = (vocabulary, built)
    return built


def _build(vocabulary: Vocabulary) -> Words:
    spoken = tuple(one for one in vocabulary.languages if one in languages()) or languages()
    lexicons = {language: _lexicon(language, spoken, vocabulary) for language in spoken}
    return Words(lexicons, spoken[0], _telling(spoken))


@cache
def _telling(spoken: tuple[str, ...]) -> Mapping[str, str]:
    """The words that stand in one of the languages alone, and which one that is."""
    owners: dict[str, set[str]] = defaultdict(set)
    for language in spoken:
        for word in _own_words(language):
            owners[word].add(language)
    greetings = {word for one in spoken for words in entries(one).get("greeting", {}).values() for word in words}
    quiet = greetings | {word for one in spoken for word in entries(one).get("plain", {}).get("near", ())}
    return {word: next(iter(one)) for word, one in owners.items() if len(one) == 1 and word not in quiet}


def _lexicon(first: str, spoken: tuple[str, ...], vocabulary: Vocabulary) -> Lexicon:
    """The words of the languages, which all farms share, with one farm's names grafted in."""
    order = (first, *(one for one in spoken if one != first))
    shared = _shared(first, order)
    graft = Graft(shared.root)
    named: set[str] = set()
    crops: dict[str, str] = {}
    for family, meaning, phrase in _farm_phrases(order, vocabulary):
        words = _words_in(phrase)
        graft.put(words, family, meaning)
        named.update(words)
        if family == "crop" and len(words) == 1 and len(phrase) >= 4:
            crops.setdefault(words[0], meaning)
    fuzzy = {one for family, _, one in _farm_phrases(order, vocabulary) if _spelled(family, one, 4)}
    return Lexicon(
        first,
        graft.root,
        shared.known | named,
        _own_words(first),
        tuple(sorted(fuzzy.union(shared.fuzzy))),
        crops | {word: crop for word, crop in shared.crops.items() if word not in crops},
        _sounds(first, named, shared.sounds),
    )


@cache
def _shared(first: str, order: tuple[str, ...]) -> Lexicon:
    """The phrases of the languages, read with the first of them, without any farm's names."""
    root = Node()
    plain = frozenset(entries(first).get("plain", {}).get("words", ()))
    fuzzy: set[str] = set()
    known: set[str] = set()
    crops: dict[str, str] = {}
    heard: set[str] = set()
    for family, meaning, phrase, language in _language_phrases(order):
        words = _words_in(phrase)
        known.update(words)
        if language != first and len(words) == 1 and _drowned(family, phrase, plain):
            continue
        root.put(words, family, meaning)
        if family == "crop" and len(words) == 1 and len(phrase) >= 4:
            crops.setdefault(words[0], meaning)
        if language == first:
            heard.update(words if family != "plain" else ())
            fuzzy.update((phrase,) if _spelled(family, phrase, 5) else ())
    sounds = _sounds(first, heard, {})
    return Lexicon(first, root, frozenset(known), _own_words(first), tuple(sorted(fuzzy)), crops, sounds)


def _words_in(phrase: str) -> list[str]:
    letters = phrase.replace(" ", "")
    plain = letters.isalpha() and letters.isascii() and letters.islower()
    return phrase.split() if plain else [token.text for token in tokens(phrase)]


def _spelled(family: str, phrase: str, least: int) -> bool:
    """Whether a slip may stand for the phrase: one word of a family that is recognised so, and not too short."""
    return family.partition(".")[0] in SPELLED and len(_words_in(phrase)) == 1 and len(phrase) >= least


def _drowned(family: str, word: str, plain: frozenset[str]) -> bool:
    """Whether a word of another language is, in this one, an everyday word or too short to tell."""
    if family in ("join.range", "join.or", "time.to"):
        return False
    return word in plain or (len(word) <= 2 and family not in ("join.and", "answer", "unit", "self", "coming"))


def _farm_phrases(order: tuple[str, ...], vocabulary: Vocabulary) -> Iterator[tuple[str, str, str]]:
    """Each of the farm's own names with its family and meaning, the strongest first."""
    for family, names in _farm_names(vocabulary):
        for meaning, by_language in names.items():
            for phrase in (one for names_of in by_language.values() for one in names_of):
                yield family, meaning, phrase
                for other in _variants(phrase, order) if family == "tank" else ():
                    yield family, meaning, other


def _language_phrases(order: tuple[str, ...]) -> Iterator[tuple[str, str, str, str]]:
    """Each phrase with its family, meaning and language, the first language's before the others'."""
    for language in order:
        for family, table in entries(language).items():
            for meaning, phrases in table.items() if family not in RULES else ():
                called = f"{family}.{meaning}" if family in SPLIT else family
                for phrase in phrases:
                    yield called, meaning, phrase, language


def _variants(name: str, order: tuple[str, ...]) -> Iterator[str]:
    """A name with one of its words written another way ("lil tank", "del grande")."""
    words = name.lower().split()
    yield from (one for language in order for one in entries(language).get("variants", {}).get(name.lower(), ()))
    for at, word in enumerate(words):
        for other in (one for language in order for one in entries(language).get("variants", {}).get(word, ())):
            yield " ".join((*words[:at], other, *words[at + 1 :]))


def _farm_names(vocabulary: Vocabulary) -> Iterator[tuple[str, Mapping[str, Names]]]:
    yield "crop", {slug: _with_plurals(crop.names, crop.plurals) for slug, crop in vocabulary.crops.items()}
    yield "tank", vocabulary.tanks
    yield "recipient", vocabulary.recipients
    yield "supply", vocabulary.supplies
    yield "who", {name: {"": (name,)} for name in vocabulary.people}


def _with_plurals(names: Names, plurals: Mapping[str, str]) -> Names:
    return {one: (*written, plurals[one]) if one in plurals else written for one, written in names.items()}
