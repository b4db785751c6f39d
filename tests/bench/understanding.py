"""How well and how fast texts are read, on the messages set aside, beside what one would use otherwise.

Run by `sh deploy/bench understanding`. In one run: our reader; a TF-IDF classifier with number patterns trained on the
messages that were not set aside; and a general date parser on the messages that name a time. Figures by tests/scoring.py.
"""

import gc
import time
from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path
from statistics import median
from typing import Any

import dateparser.search

from core.vocabulary import Vocabulary
from service.demo import demo_vocabulary
from service.understanding import understand
from service.understanding.reading import context_from_record
from tests.bench.classifier import Classifier
from tests.scoring import Score, load

MESSAGES = Path(__file__).parents[2] / "fixtures" / "messages"

Message = Mapping[str, Any]


def ours(vocabulary: Vocabulary, message: Message) -> dict[str, Any]:
    """The reader's record of a message."""
    context = context_from_record(message["context"])
    sent = datetime.fromisoformat(message["sent"])
    reading = understand(message["text"], sent=sent, sender=message["sender"], vocabulary=vocabulary, context=context)
    return reading.record()


def measured(read: Callable[[Message], Any], messages: list[Message]) -> tuple[list[Any], list[float]]:
    """What was read, and the milliseconds each message took."""
    read(messages[0])
    results, took = [], []
    gc.collect()
    gc.disable()
    for message in messages:
        began = time.perf_counter()
        results.append(read(message))
        took.append((time.perf_counter() - began) * 1000)
    gc.enable()
    return results, sorted(took)


def line(name: str, messages: list[Message], results: list[Any], took: list[float]) -> str:
    """One row of the table."""
    score = Score()
    for message, result in zip(messages, results, strict=True):
        score.count(message, result)
    return f"{name:34s} {score}  median {median(took):6.2f} ms  p99 {took[int(len(took) * 0.99)]:6.2f} ms"


def first_day(message: Message) -> str | None:
    """The first day a message names, where it names one."""
    starts = [window["start"][:10] for note in message["notes"] for window in note.get("windows", ())]
    return min(starts, default=None)


def dated(messages: list[Message], name: str, find: Callable[[Message], str | None]) -> str:
    """How often the first day named is found."""
    found, took = measured(find, messages)
    right = sum(one == first_day(message) for one, message in zip(found, messages, strict=True))
    return f"{name:34s} {len(messages):5d} messages  first day {100 * right / len(messages):6.2f} %  median {median(took):6.2f} ms"


def by_dateparser(message: Message) -> str | None:
    """The first day the general parser finds."""
    now = datetime.fromisoformat(message["sent"]).replace(tzinfo=None)
    settings = {"RELATIVE_BASE": now, "PREFER_DATES_FROM": "future"}
    found = dateparser.search.search_dates(message["text"], languages=["en", "es"], settings=settings)
    return min((moment.strftime("%Y-%m-%d") for _, moment in found or ()), default=None)


def main() -> None:
    """Print the table."""
    vocabulary = demo_vocabulary()
    aside = load(*sorted(MESSAGES.glob("aside/*.jsonl")))
    seen = load(*sorted([*MESSAGES.glob("*.jsonl"), *MESSAGES.glob("crews/*.jsonl")]))
    classifier = Classifier(vocabulary, seen)
    for name, messages in (("set aside", aside), ("used while building", seen)):
        print(line(f"reader, {name}", messages, *measured(lambda one: ours(vocabulary, one), messages)))
    print(line("TF-IDF and patterns, set aside", aside, *measured(classifier.read, aside)))
    timed = [message for message in aside if first_day(message)]
    print(dated(timed, "reader, times", lambda one: first_day(ours(vocabulary, one))))
    print(dated(timed, "general date parser, times", by_dateparser))


if __name__ == "__main__":
    main()
