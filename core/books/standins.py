"""Places given up and who was asked to step in, looked up."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime

from sqlmodel import col, select

from core.books.crew import coming
from core.books.ledger import Ledger
from core.books.tables import Shift, StandInOffer, StandInSearch
from core.standins import Past


def searches(ledger: Ledger, now: datetime) -> Sequence[tuple[StandInSearch, Shift]]:
    """Every place of a shift still to come for which a stand-in is, or was, looked for; the first shift first."""
    query = (
        select(StandInSearch, Shift)
        .join(Shift, (col(Shift.farm_id) == StandInSearch.farm_id) & (col(Shift.id) == StandInSearch.shift))
        .where(StandInSearch.farm_id == ledger.farm_id, col(StandInSearch.off).is_(False), Shift.starts_at > now)
        .where(col(StandInSearch.opened_at).is_not(None))
    )
    return ledger.session.exec(query.order_by(col(Shift.starts_at), col(StandInSearch.opened_at))).all()


def search_of(ledger: Ledger, shift: str, person_id: int) -> StandInSearch | None:
    """The search for whoever steps in for somebody on a shift."""
    return ledger.session.get(StandInSearch, (ledger.farm_id, shift, person_id))


def offers(ledger: Ledger, shift: str) -> Sequence[StandInOffer]:
    """Everybody who was asked for a shift, in the order in which they were asked."""
    query = select(StandInOffer).where(StandInOffer.farm_id == ledger.farm_id, StandInOffer.shift == shift)
    return ledger.session.exec(query.order_by(col(StandInOffer.offered_at), col(StandInOffer.person_id))).all()


def offer(ledger: Ledger, shift: str, person_id: int) -> StandInOffer | None:
    """What somebody was asked for a shift."""
    return ledger.session.get(StandInOffer, (ledger.farm_id, shift, person_id))


def vacant(ledger: Ledger, shift: Shift) -> list[StandInSearch]:
    """The places of a shift that wait for a stand-in, the one that was given up first first.

    A place nobody has taken; of those that were simply given up, no more than the shift lacks people.
    """
    query = select(StandInSearch).where(StandInSearch.farm_id == ledger.farm_id, StandInSearch.shift == shift.id)
    rows = ledger.session.exec(query.where(col(StandInSearch.off).is_(False)).order_by(col(StandInSearch.opened_at)))
    taken = {(one.instead_of, one.answered_at) for one in offers(ledger, shift.id) if one.answer == "yes"}
    left = [one for one in rows if one.opened_at and not _is_taken(one, taken)]
    lacking = max(0, shift.needed - len(coming(ledger, shift.id)))
    given_up = [one for one in left if not one.swap][:lacking]
    return [one for one in left if one.swap or one in given_up]


def _is_taken(search: StandInSearch, taken: set[tuple[int | None, datetime | None]]) -> bool:
    """Whether somebody took the place after it was given up (for the last time)."""
    return any(who == search.person_id and at and search.opened_at and at >= search.opened_at for who, at in taken)


def past(ledger: Ledger, since: datetime) -> dict[int, Past]:
    """How it went when people were asked to step in since an instant, by person."""
    query = select(StandInOffer).where(StandInOffer.farm_id == ledger.farm_id, col(StandInOffer.offered_at) >= since)
    rows: dict[int, list[StandInOffer]] = defaultdict(list)
    for one in ledger.session.exec(query):
        rows[one.person_id].append(one)
    return {who: _past(asked) for who, asked in rows.items()}


def _past(asked: list[StandInOffer]) -> Past:
    answered = [one for one in asked if one.answer in ("yes", "no") and one.answered_at and one.offered_at]
    minutes = tuple((one.answered_at - one.offered_at).total_seconds() / 60 for one in answered)  # type: ignore[operator]
    return Past(len(asked), len(answered), minutes)
