"""The shifts a calendar shows: those of one person, or the farm's, from a month back to as far as they are made."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlmodel import Session, col, func, select

from core.books import crew
from core.books.ledger import Ledger
from core.books.tables import ClosedDay, Farm, Person, Posting, Shift, ShiftPlace
from core.books.tables import Entry as JournalEntry
from core.books.vocabulary import vocabulary
from core.calendar import local_day
from core.outcome import Fact, fact
from service.feeds.calendar import Entry, calendar
from service.words import Speaker

PAST = timedelta(days=30)
AHEAD = timedelta(days=400)
SHIFT, PLACE, CLOSED = (str(table.__tablename__) for table in (Shift, ShiftPlace, ClosedDay))
"""The accounts of the journal that a calendar follows."""


def of_person(session: Session, farm: Farm, person: Person, now: datetime) -> bytes:
    """The calendar of one person's shifts, those they gave up shown as cancelled."""
    feed = _Feed(session, farm, now, person.language)
    entries = [feed.own(shift, place) for shift, place in feed.places_of(person.id)]
    name = feed.speaker.text([fact("calendar_name", farm=farm.name)])
    return calendar(name, farm.name, feed.zone, farm.slug, entries, person.handle)


def of_farm(session: Session, farm: Farm, now: datetime) -> bytes:
    """The calendar of all shifts, with how many come of how many are needed; nobody is named."""
    feed = _Feed(session, farm, now, farm.languages[0])
    shifts = crew.shifts_between(feed.ledger, now - PAST, now + AHEAD)
    entries = [feed.everybodys(shift, crew.on_shift(feed.ledger, shift.id)) for shift in shifts]
    name = feed.speaker.text([fact("calendar_name_farm", farm=farm.name)])
    return calendar(name, farm.name, feed.zone, farm.slug, entries, "")


class _Feed:
    def __init__(self, session: Session, farm: Farm, now: datetime, language: str) -> None:
        words = vocabulary(session, farm.id)
        self.session, self.farm, self.now, self.zone = session, farm, now, words.zone
        self.ledger = Ledger(session, farm.id)
        self.speaker = Speaker(language, words, local_day(now, words.zone))
        first, last = local_day(now - PAST, words.zone), local_day(now + AHEAD, words.zone)
        self.closed = crew.closed_days(self.ledger, first, last)
        self.changed = self._changes()

    def places_of(self, person_id: int) -> Sequence[tuple[Shift, ShiftPlace]]:
        """Every shift in the window on which a person has a place."""
        query = (
            select(Shift, ShiftPlace)
            .join(ShiftPlace, (col(ShiftPlace.farm_id) == Shift.farm_id) & (col(ShiftPlace.shift) == Shift.id))
            .where(Shift.farm_id == self.farm.id, ShiftPlace.person_id == person_id)
            .where(col(Shift.starts_at).between(self.now - PAST, self.now + AHEAD))
        )
        return self.session.exec(query.order_by(col(Shift.starts_at), col(Shift.id))).all()

    def own(self, shift: Shift, place: ShiftPlace) -> Entry:
        """A shift in the calendar of somebody with a place on it."""
        title = fact("calendar_shift", farm=self.farm.name)
        text = self.speaker.text([fact("calendar_text", farm=self.farm.name)])
        return self._entry(shift, [place], title, text, off=place.answer == "no")

    def everybodys(self, shift: Shift, there: Sequence[crew.OnShift]) -> Entry:
        """A shift in the farm's calendar."""
        places = [place for place, _ in there]
        coming = sum(place.answer != "no" for place in places)
        return self._entry(shift, places, fact("calendar_coming", coming=coming, needed=shift.needed), "", off=False)

    def _entry(self, shift: Shift, places: Sequence[ShiftPlace], title: Fact, text: str, *, off: bool) -> Entry:
        day = local_day(shift.starts_at, self.zone)
        keys = [(SHIFT, shift.id), (CLOSED, day.isoformat())]
        keys += [(PLACE, f"{shift.id}|{place.person_id}") for place in places]
        changes = [self.changed[one] for one in keys if one in self.changed]
        said = fact("calendar_closed", farm=self.farm.name) if day in self.closed else title
        return Entry(
            shift=shift.id,
            starts_at=shift.starts_at,
            ends_at=shift.ends_at,
            title=self.speaker.text([said]),
            text=text,
            off=off or day in self.closed,
            changes=sum(count for count, _ in changes),
            changed_at=max((when for _, when in changes), default=shift.starts_at),
        )

    def _changes(self) -> dict[tuple[str, str], tuple[int, datetime]]:
        """How often each row of shifts and the places on them was written or taken back, and when last."""
        found: dict[tuple[str, str], tuple[int, datetime]] = {}
        for number in (JournalEntry.n, JournalEntry.reverses):
            rows = (
                select(Posting.account, Posting.row, func.count(), func.max(JournalEntry.written_at))
                .join(JournalEntry, (col(JournalEntry.farm_id) == Posting.farm_id) & (col(number) == Posting.entry))
                .where(Posting.farm_id == self.farm.id, col(Posting.account).in_((SHIFT, PLACE, CLOSED)))
                .group_by(col(Posting.account), col(Posting.row))
            )
            for account, row, count, when in self.session.exec(rows):
                before, last = found.get((account, row), (0, when))
                found[account, row] = before + count, max(last, when)
        return found
