"""What others are told because of a text: placed in the outbox with its effect, in each reader's own language."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from core.books import people
from core.books.tables import Person
from core.outcome import Fact, News, fact
from service import links, outbox
from service.conversation.desk import Desk
from service.quiet import next_allowed

MOST_WORDS = 90
"""Letters of a text that are passed on, so that the news stays within one segment."""


IN_OWN_WORDS = ("news_trouble", "news_trouble_still")


def tell(desk: Desk, news: Sequence[News]) -> None:
    """Each reader hears each piece of news once; not the sender, nor who has not agreed to be texted."""
    told: set[tuple[int, str]] = set()
    for at, piece in enumerate(news):
        for reader in _readers(desk, piece):
            key = (reader.id, piece.fact.kind)
            if reader.id != desk.person.id and key not in told:
                told.add(key)
                _place(desk, piece, reader, at)


def _readers(desk: Desk, piece: News) -> Iterable[Person]:
    if piece.person_id is not None:
        return [people.person(desk.ledger, piece.person_id)]
    return people.crew(desk.ledger, piece.role)


def _in_own_words(desk: Desk, told: Fact) -> Fact:
    """Trouble is passed on with what its sender wrote: a kind alone does not say who is hurt, or how."""
    if told.kind in IN_OWN_WORDS:
        return fact(told.kind, **told.values, words=desk.inbound.body[:MOST_WORDS])
    if told.kind == "news_trouble_photo":
        return fact(told.kind, **told.values, link=links.address(f"/board/trouble/{told.values['n']}"))
    return told


def _place(desk: Desk, piece: News, reader: Person, at: int) -> None:
    """An urgent one goes at once to who chose that; another waits for the hours in which people may be texted."""
    allowed = next_allowed(desk.now, desk.vocabulary.zone, reader.early_at)
    at_once = piece.urgent and (reader.wakeful or allowed == desk.now)
    welcome = piece.fact.kind == "welcome"  # they asked to join: this is the answer to it
    if reader.phone is None or reader.muted or not (reader.agreed or welcome):
        return
    outbox.place(
        desk.session,
        farm_id=desk.farm.id,
        key=f"news:{desk.inbound.id}:{piece.fact.kind}:{at}:{reader.id}",
        carrier=desk.inbound.carrier,
        phone=reader.phone,
        person_id=reader.id,
        kind="trouble" if at_once else "welcome" if welcome else "news",
        body=desk.speaker(reader.language).text([_in_own_words(desk, piece.fact)]),
        now=desk.now,
        not_before=None if at_once or welcome else allowed,
    )
