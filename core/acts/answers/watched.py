"""What a digest says of readings besides what is out of range: what is not read or stuck, and what is heading out."""

from __future__ import annotations

from datetime import date, datetime

from core.acts.alarms import SIDES, alarm_fact
from core.acts.answers.shortened import shortened
from core.acts.answers.trends import trend_fact
from core.acts.trends import outlooks
from core.books.alarms import open_alarms
from core.books.ledger import Ledger
from core.outcome import Fact, fact
from core.vocabulary import Vocabulary

MOST = 2
"""Of each that a digest names."""


def watched(ledger: Ledger, vocabulary: Vocabulary, day: date, now: datetime) -> tuple[Fact, ...]:
    """A line for each of the two that has something to say."""
    alarms, more = shortened([alarm_fact(one) for one in open_alarms(ledger) if one.kind not in SIDES], MOST)
    headings, _ = shortened([trend_fact(one, day) for one in outlooks(ledger, now, vocabulary.zone)], MOST)
    said = (fact("digest_alarms", alarms=alarms, more=more),) if alarms else ()
    return (*said, fact("digest_trends", trends=headings)) if headings else said
