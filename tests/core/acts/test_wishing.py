"""What people wish of the roster."""

import pytest
from sqlmodel import select

from core.acts import carry_out
from core.books.roster import wishes
from core.books.tables import Entry
from core.errors import Refused
from core.notes import Correct, RosterWish
from tests.demo_farm import person_id, scene


@pytest.fixture
def session(demo_books):
    with demo_books.write() as session:
        yield session


def says(session, note, source="t:1"):
    return carry_out(note, scene(session, "bea", source=source))


def wish(session, who="bea"):
    return wishes(scene(session).ledger)[person_id(session, who)]


def test_wishes_are_kept_one_beside_the_other(session):
    says(session, RosterWish(beside=("june",)))
    says(session, RosterWish(most=2, per="month"))
    says(session, RosterWish(part="morning", beside=("walt",)))
    kept = wish(session)
    assert kept.beside == sorted(person_id(session, one) for one in ("june", "walt"))
    assert (kept.most, kept.per, kept.part) == (2, "month", "morning")
    assert scene(session).ledger.differences() == []


def test_who_changes_their_mind_about_somebody_is_believed(session):
    says(session, RosterWish(beside=("june",)))
    says(session, RosterWish(apart=("june",)))
    assert (wish(session).beside, wish(session).apart) == ([], [person_id(session, "june")])


def test_a_wish_can_be_taken_back_and_all_of_them_dropped(session):
    says(session, RosterWish(most=1, per="week", part="evening"), "t:1")
    says(session, RosterWish(most=3, per="month"), "t:2")
    says(session, Correct(undo=True), "t:3")
    assert (wish(session).most, wish(session).per, wish(session).part) == (1, "week", "evening")
    says(session, RosterWish(none=True))
    assert (wish(session).most, wish(session).part, wish(session).beside) == (None, None, [])
    assert scene(session).ledger.differences() == []


def test_a_wish_is_echoed_and_promises_nothing(session):
    outcome = says(session, RosterWish(beside=("june",), most=1, per="week"))
    assert [one.kind for one in outcome.facts[0].values["wishes"]] == ["wish_beside", "wish_per_week"]
    assert [one.kind for one in outcome.remarks] == ["wish_weighed"]


def test_the_journal_names_nobody_whom_a_wish_is_about(session):
    says(session, RosterWish(apart=("arlo",), most=1, per="week"))
    entry = session.exec(select(Entry).where(Entry.act == "wish")).one()
    assert entry.note == {"act": "wish", "most": 1, "per": "week"}


def test_nobody_can_wish_for_somebody_who_is_not_of_the_crew(session):
    with pytest.raises(Refused, match="no_such_person"):
        says(session, RosterWish(beside=("nadia",)))
