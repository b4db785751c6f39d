"""What every act is given beside its note: ledger and words, who said it and when, and whether they insist."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import cached_property

from core.books.ledger import Ledger, Told, Writing
from core.books.people import crew, person
from core.books.tables import Person, Place
from core.calendar import local_day
from core.errors import Refused
from core.notes import Note
from core.people import first_name
from core.roles import least_role, may
from core.vocabulary import Vocabulary

MOST_NAMED = 2
"""People named as those to ask."""


@dataclass(frozen=True)
class Scene:
    """One act about to happen. `sure` is True once the sender has confirmed what was surprising."""

    ledger: Ledger
    vocabulary: Vocabulary
    told: Told
    sure: bool = False

    @property
    def at(self) -> datetime:
        """When it was so: as said, else when it was said."""
        return self.told.happened_at or self.told.said_at

    @cached_property
    def day(self) -> date:
        """The farm-local day on which it was so: the one said, else that of saying it."""
        return local_day(self.at, self.vocabulary.zone)

    @cached_property
    def said_on(self) -> date:
        """The farm-local day on which it was said."""
        return local_day(self.told.said_at, self.vocabulary.zone)

    @cached_property
    def actor(self) -> Person | None:
        """Who said it; None for what the farm does by itself."""
        return person(self.ledger, self.told.person_id) if self.told.person_id is not None else None

    @cached_property
    def whom(self) -> Person | None:
        """Whose it is: who the sender speaks for, else the sender."""
        return person(self.ledger, self.told.whom) if self.told.whom is not None else None

    @property
    def name(self) -> str:
        """The name of whom it is of, for news to others."""
        whom = self.whom
        return whom.name if whom else self.vocabulary.farm

    def enter(self, note: Note) -> Writing:
        """The journal entry of the act."""
        return self.ledger.enter(note, self.told)

    def confirmed(self) -> Scene:
        """The same scene after the sender insisted."""
        return replace(self, sure=True)

    def check_places(self, codes: tuple[str, ...]) -> None:
        """Refuse codes that are not places of this farm ("no_such_place")."""
        unknown = [code for code in codes if not self.vocabulary.is_place(code) and code not in self.vocabulary.tanks]
        if unknown:
            rows = self.vocabulary.tower_rows
            raise Refused(
                "no_such_place", code=unknown[0], first=min(rows, default=""), last=max(rows, default=""),
                towers=max(rows.values(), default=0),
            )  # fmt: skip

    def require(self, act: str) -> None:
        """Refuse what the sender's role may not do, with `who` to ask, by first name.

        Raises:
            Refused: "not_allowed_lead" or "not_allowed_coordinator".
        """
        if self.actor is None or may(self.actor.role, act):
            return
        able = [first_name(one.name) for one in crew(self.ledger) if may(one.role, act)]
        raise Refused(f"not_allowed_{least_role(act)}", who=tuple(able[:MOST_NAMED]))

    def mark(self, writing: Writing, codes: tuple[str, ...], state: str) -> None:
        """Put places into a state; the collective ones ("towers") have none."""
        for code in codes:
            if self.ledger.session.get(Place, (self.ledger.farm_id, code)):
                writing.put(Place, {"code": code}, state=state)
