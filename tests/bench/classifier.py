"""What the reader is measured against: a TF-IDF classifier with number patterns, trained on the same messages.

The usual way to do this without a grammar: which notes a text holds is learnt from words and letters; crops, places,
numbers and tanks are then filled in by patterns.
"""

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any

from sklearn.feature_extraction.text import TfidfVectorizer
from sklearn.linear_model import LogisticRegression
from sklearn.pipeline import make_pipeline, make_union

from core.vocabulary import Vocabulary

NUMBER = re.compile(r"\d+(?:\.\d+)?")
TOWER = re.compile(r"\b([A-Fa-f])\s?(\d{1,2})(?:\s?(?:-|to|thru|a)\s?[A-Fa-f]?(\d{1,2}))?\b")
MEASURES = {
    "ph": r"\bph\b", "ec": r"\bec\b", "water_temp": r"water|agua", "air_temp": r"air|aire|temp",
    "humidity": r"humid|humedad", "co2": r"co2", "level": r"level|nivel|full", "oxygen": r"oxygen|oxigeno|\bdo\b",
}  # fmt: skip
SLOTS = {
    "harvest": ("crop", "places"), "loss": ("crop", "places"), "sow": ("crop",), "stand": ("crop",), "move": ("crop",),
    "clean": ("places",), "reading": ("where",), "added": ("where",), "calibrated": ("where",), "gave": ("to", "crop"),
    "target": ("crop",), "ask": ("crop", "where"), "trouble": ("crop",), "stock": ("crop",),
}  # fmt: skip
NUMBERS = {
    "harvest": ("count",), "loss": ("count",), "sow": ("count",), "stand": ("up", "of"), "move": ("count",),
    "reading": ("value",), "added": ("amount_ml",), "gave": ("count",), "hours": ("minutes",), "target": ("count",),
    "task": ("n",), "shift": ("minutes",), "stock": ("amount",), "correct": ("count",),
}  # fmt: skip


class Classifier:
    """Verdict and acts by TF-IDF and logistic regression, slots by patterns."""

    def __init__(self, vocabulary: Vocabulary, messages: Iterable[Mapping[str, Any]]) -> None:
        self.vocabulary = vocabulary
        texts, kinds = zip(*((one["text"], self._kind(one)) for one in messages), strict=True)
        words = TfidfVectorizer(ngram_range=(1, 2), sublinear_tf=True)
        letters = TfidfVectorizer(analyzer="char_wb", ngram_range=(2, 4), sublinear_tf=True)
        self.model = make_pipeline(make_union(words, letters), LogisticRegression(C=20, max_iter=2000))
        self.model.fit(texts, kinds)
        self.names = [
            (re.compile(rf"\b{re.escape(name)}\b", re.IGNORECASE), slot, slug)
            for slot, things in (("crop", self._crops()), ("where", vocabulary.tanks), ("to", vocabulary.recipients))
            for slug, names in things.items()
            for ways in names.values()
            for name in ways
        ]

    def _crops(self) -> dict[str, Any]:
        return {slug: crop.names for slug, crop in self.vocabulary.crops.items()}

    @staticmethod
    def _kind(message: Mapping[str, Any]) -> str:
        notes = Counter(
            (note["act"], note.get("about", note.get("state", note.get("answer", "")))) for note in message["notes"]
        )
        missing = ",".join(message.get("missing", ()))
        return "|".join([message["verdict"], missing, *(f"{act}:{about}" for act, about in sorted(notes))])

    def read(self, message: Mapping[str, Any]) -> dict[str, Any]:
        """A message as the plain record."""
        verdict, missing, *acts = self.model.predict([message["text"]])[0].split("|")
        notes = [self._note(act, message["text"]) for act in acts if act]
        return {"verdict": verdict, "notes": notes, "missing": missing.split(",") if missing else []}

    def _note(self, kind: str, text: str) -> dict[str, Any]:
        act, about = kind.split(":", 1)
        note: dict[str, Any] = {"act": act}
        if about:
            note[{"ask": "about", "task": "state", "stock": "state", "shift": "answer"}.get(act, "state")] = about
        for pattern, slot, slug in self.names:
            if slot in SLOTS.get(act, ()) and slot not in note and pattern.search(text):
                note[slot] = slug
        if "places" in SLOTS.get(act, ()):
            note["places"] = [place for match in TOWER.finditer(text) for place in self._run(match)]
        if act in ("reading", "calibrated"):
            note["measure"] = next((m for m, way in MEASURES.items() if re.search(way, text, re.IGNORECASE)), None)
        numbers = (float(one) for one in NUMBER.findall(TOWER.sub(" ", text)))
        return note | dict(zip(NUMBERS.get(act, ()), numbers, strict=False))

    @staticmethod
    def _run(match: re.Match[str]) -> list[str]:
        row, first, last = match[1].upper(), int(match[2]), int(match[3] or match[2])
        return [f"{row}{n}" for n in range(first, last + 1)]
