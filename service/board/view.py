"""One look at a page: who looks, at which farm, in which language, at what moment, with the books open for reading."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property
from typing import Annotated, Any, TypeVar

from fastapi import Depends, Request
from fastapi.responses import HTMLResponse
from sqlmodel import Session

from core.books.ledger import Ledger
from core.books.store import Books
from core.books.tables import Counter, Farm, Person
from core.books.vocabulary import vocabulary
from core.calendar import local_day
from core.vocabulary import Vocabulary
from service.board import signing
from service.board.filling import filled
from service.board.forms import COOKIE
from service.board.pages import MAY, Page, Role
from service.board.turned import NotAllowed, NotSignedIn
from service.board.wording import PageSpeaker, languages, spoken

T = TypeVar("T")


@dataclass(frozen=True)
class View:
    """A signed-in person's look at the board. `session` is open for reading only; acts open their own."""

    request: Request
    session: Session
    seat: signing.Seat
    token: str
    now: datetime

    @property
    def farm(self) -> Farm:
        """The farm looked at."""
        return self.seat.farm

    @property
    def person(self) -> Person:
        """Who looks."""
        return self.seat.person

    @property
    def language(self) -> str:
        """The language the pages are in."""
        return self.seat.signed_in.language

    @property
    def books(self) -> Books:
        """The database, for acts."""
        books: Books = self.request.app.state.books
        return books

    @property
    def coordinates(self) -> bool:
        """Whether it is a coordinator."""
        return self.person.role == "coordinator"

    @cached_property
    def ledger(self) -> Ledger:
        """The farm's books, for look-ups."""
        return Ledger(self.session, self.farm.id)

    @cached_property
    def vocabulary(self) -> Vocabulary:
        """The farm's words."""
        return vocabulary(self.session, self.farm.id)

    @cached_property
    def today(self) -> date:
        """The farm-local day."""
        return local_day(self.now, self.vocabulary.zone)

    def kept(self, key: Hashable, make: Callable[[], T]) -> T:
        """What takes long to reckon from the journal: made once for a day and a state of the books."""
        last = self.session.get(Counter, (self.farm.id, "entry"))
        where = (self.farm.id, last.last if last else 0, self.today, key)
        kept: T = self.request.app.state.board_kept.get(where, make)
        return kept

    def speaker(self, page: Page) -> PageSpeaker:
        """Says a page's sentences to this person."""
        return PageSpeaker(spoken(self.language), page.name, self.vocabulary, self.today)

    def show(self, page: Page, template: str | None = None, status: int = 200, **values: Any) -> HTMLResponse:
        """A page, its template (of the page's own name) filled with the values and everything the frame needs."""
        speaker = self.speaker(page)
        pages = [one for one in self.request.app.state.board_pages if one.is_for(self.person.role)]
        html = filled(
            template or f"{page.name}.html",
            view=self,
            language=self.language,
            page=page,
            pages=pages,
            t=speaker.t,
            either=speaker.either,
            form=speaker.form,
            token=signing.form_token(self.token),
            languages=languages(),
            **values,
        )
        return HTMLResponse(html, status_code=status)


def _viewing(role: Role) -> Callable[[Request], Iterator[View]]:
    def enter(request: Request) -> Iterator[View]:
        token = request.cookies.get(COOKIE, "")
        books, now = request.app.state.books, request.app.state.clock()
        with books.read() as session:
            seat = signing.seat(session, token, now)
            if seat is None:
                raise NotSignedIn
            if seat.person.role not in MAY[role]:
                raise NotAllowed
            if signing.is_stale(seat.signed_in, now):
                _touch(books, token, now)
            yield View(request, session, seat, token, now)

    return enter


def _touch(books: Books, token: str, now: datetime) -> None:
    with books.write() as session:
        signing.touch(session, token, now)


Lead = Annotated[View, Depends(_viewing("lead"))]
"""The look of a lead or a coordinator."""

Coordinator = Annotated[View, Depends(_viewing("coordinator"))]
"""The look of a coordinator."""
