"""Taking a person out of the journal: what they did counts, who they were is gone, and the books agree."""

import json

from hypothesis import given
from hypothesis import strategies as st
from sqlmodel import select

from core.acts import carry_out
from core.books import erasing
from core.books.erasing import GONE, Traces
from core.books.ledger import Ledger, Told
from core.books.tables import Announcement, Consent, Cut, Entry, Person, Posting, ShiftPattern, ShiftPlace
from core.notes import AddPerson, Announce, Harvest
from tests.demo_farm import FARM, NOW, person_id, scene


def erase(session, handle):
    ledger = Ledger(session, FARM)
    person = session.get_one(Person, (FARM, person_id(session, handle)))
    erasing.erase(ledger, person, Told(None, NOW, NOW))
    return person


def journal_of(session):
    """Every entry and posting as text."""
    notes = [json.dumps(one.note, ensure_ascii=False) for one in session.exec(select(Entry))]
    return "\n".join([*notes, *(json.dumps(one.value, ensure_ascii=False) for one in session.exec(select(Posting)))])


def test_neither_tables_nor_journal_hold_name_or_number_and_they_agree(demo_books):
    with demo_books.write() as session:
        person = erase(session, "dolores")
        assert "Dolores" not in journal_of(session)
        assert "+13125550102" not in journal_of(session)
        assert (person.name, person.phone, person.state) == (GONE, None, "left")
        assert Ledger(session, FARM).differences() == []


def test_what_they_picked_still_counts(demo_books):
    with demo_books.write() as session:
        carry_out(Harvest(crop="mint", count=12.0, places=("F1",)), scene(session, "bea"))
        count = len(session.exec(select(Cut)).all())
        who = person_id(session, "bea")
        erase(session, "bea")
        assert len(session.exec(select(Cut)).all()) == count
        assert [one.count for one in session.exec(select(Cut).where(Cut.person_id == who))][-1] == 12


def test_that_they_agreed_stays_without_their_name(demo_books):
    with demo_books.write() as session:
        who = person_id(session, "bea")
        erase(session, "bea")
        kept = session.exec(select(Consent).where(Consent.person_id == who)).all()
        assert kept
        assert all("Bea" not in one.wording for one in kept)


def test_what_they_announced_and_what_was_said_of_them_loses_their_words_and_name(demo_books):
    with demo_books.write() as session:
        carry_out(Announce(words="Walt brings soup", to="all"), scene(session, "priya", source="t:1"))
        carry_out(Announce(words="my cousin Ana is ill", to="all"), scene(session, "priya", source="t:2"))
        erase(session, "walt")
        words = {one.words for one in session.exec(select(Announcement).where(Announcement.entry > 1))}
        assert words == {f"{GONE} brings soup", "my cousin Ana is ill"}
        erase(session, "priya")
        assert {one.words for one in session.exec(select(Announcement))} <= {GONE}
        assert Ledger(session, FARM).differences() == []


def test_the_note_that_added_them_forgets_them(demo_books):
    with demo_books.write() as session:
        carry_out(AddPerson(name="José Ñuñez", phone="+13125550150"), scene(session, "priya"))
        erase(session, "jos\u00e9")
        assert "uñez" not in journal_of(session)
        assert "5550150" not in journal_of(session)
        assert Ledger(session, FARM).differences() == []


def test_taking_back_the_note_that_added_them_does_not_bring_them_back(demo_books):
    with demo_books.write() as session:
        added = carry_out(AddPerson(name="Rosa Delgado", phone="+13125550150"), scene(session, "priya"))
        rosa = erase(session, "rosa")
        Ledger(session, FARM).reverse(added.entry, Told(None, NOW, NOW))
        session.refresh(rosa)
        assert rosa.name == GONE
        assert Ledger(session, FARM).differences() == []


def test_no_shift_waits_for_them(demo_books):
    with demo_books.write() as session:
        who = person_id(session, "dolores")
        erase(session, "dolores")
        ahead = session.exec(select(ShiftPlace).where(ShiftPlace.person_id == who)).all()
        assert ahead
        assert [one for one in session.exec(select(ShiftPattern)) if who in one.usual] == []


def test_a_minor_whose_guardian_goes_is_texted_unasked_no_more(demo_books):
    with demo_books.write() as session:
        june = session.get_one(Person, (FARM, person_id(session, "june")))
        assert june.agreed
        erase(session, "dolores")
        assert (june.agreed, june.guardian_id) == (False, None)


def test_names_are_taken_out_only_where_they_stand_alone():
    traces = Traces(("June Abara", "June"), "+13125550104")
    said = {"words": "June, call Junes or +13125550104", "crop": "June", "body": "x June Abara"}
    assert traces.mended(said) == {"words": f"{GONE}, call Junes or {GONE}", "crop": "June", "body": f"x {GONE}"}


@given(st.recursive(st.none() | st.integers() | st.text(), lambda one: st.lists(one) | st.dictionaries(st.text(), one)))
def test_what_names_nobody_is_left_as_it_is(value):
    traces = Traces(("Qwertyuiop",), "+13125550199")
    assert traces.mended(value) == value
