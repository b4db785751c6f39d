"""Where one text is dealt with: the farm, the person, the text, and what is to be said back."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from functools import cached_property

from sqlmodel import Session

from core.acts import Scene
from core.books.ledger import Ledger, Told
from core.books.tables import Farm, Person
from core.outcome import Fact, Picture, fact
from core.vocabulary import Vocabulary
from service import figures, outbox
from service.segments import count
from service.tables import Inbound, OpenQuestion
from service.words import Speaker


@dataclass
class Desk:
    """One text on the desk. Recorded facts, other facts and a question gather here and become one reply."""

    session: Session
    farm: Farm
    vocabulary: Vocabulary
    person: Person
    inbound: Inbound
    now: datetime
    language: str
    first: list[Fact] = field(default_factory=list)
    noted: list[Fact] = field(default_factory=list)
    noted_for: dict[str, list[Fact]] = field(default_factory=dict)
    said: list[Fact] = field(default_factory=list)
    picture: Picture | None = None

    @cached_property
    def ledger(self) -> Ledger:
        """The farm's journal."""
        return Ledger(self.session, self.farm.id)

    @cached_property
    def today(self) -> date:
        """The farm-local day on which the text was sent."""
        return self.inbound.sent_at.astimezone(self.vocabulary.zone).date()

    def scene(
        self,
        *,
        sure: bool = False,
        said_at: datetime | None = None,
        source: str | None = None,
        happened_at: datetime | None = None,
        for_id: int | None = None,
    ) -> Scene:
        """What acts are given; a draft that waited keeps the time and text of its first saying."""
        said_at, source = said_at or self.inbound.sent_at, source or self.inbound.id
        told = Told(self.person.id, said_at, self.now, source, happened_at, for_id)
        return Scene(self.ledger, self.vocabulary, told, sure)

    def speaker(self, language: str | None = None) -> Speaker:
        """Says things in the sender's language, or another's."""
        return Speaker(language or self.language, self.vocabulary, self.today)

    def question(self) -> OpenQuestion | None:
        """What was last put to the sender and is still open."""
        return self.session.get(OpenQuestion, (self.farm.id, self.person.id))

    def say(self, *facts: Fact) -> None:
        """Facts for the reply, after what was noted."""
        self.said += [one for one in facts if one not in self.said]

    def reply(self) -> None:
        """Put everything gathered into the outbox as one text; nothing when there is nothing to say."""
        speaker = self.speaker()
        noted = [fact("noted", facts=tuple(self.noted))] if self.noted else []
        noted += [fact("noted_for", name=name, facts=tuple(facts)) for name, facts in self.noted_for.items()]
        text = speaker.text([*self.first, *noted, *self.said])
        if not text:
            return
        if noted:
            hinted = speaker.text([*self.first, *noted, *self.said, fact("undo_hint")])
            text = hinted if count(hinted).parts == count(text).parts else text
        outbox.reply(self.session, self.inbound, text, self.now, self._media())

    def _media(self) -> tuple[str, ...]:
        """The address of the picture that goes with the reply, where there is one."""
        if self.picture is None:
            return ()
        return (figures.address_of(self.session, self.farm.id, self.picture, self.person, self.language, self.now),)
