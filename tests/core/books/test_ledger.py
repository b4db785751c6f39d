"""The journal: whatever is said and taken back, the tables say what it says, and no plant appears or vanishes."""

from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlmodel import select

from core.acts import carry_out
from core.books import growing
from core.books.ledger import Ledger
from core.books.tables import Batch, Cut, Entry, Place, PlantLoss, Posting, Standing, Stock
from core.errors import Refused
from core.notes import (
    Added,
    Arrive,
    Calibrated,
    Clean,
    Closed,
    Correct,
    Gave,
    Harvest,
    Hours,
    Leave,
    Loss,
    Move,
    Reading,
    Sow,
    Stand,
    Target,
)  # fmt: skip
from core.notes import Stock as StockNote
from tests import demo_farm
from tests.demo_farm import FARM, NOW, scene

CROPS = ("romaine", "kale", "mint", "butterhead", "cilantro")
TOWERS = tuple(f"{row}{n}" for row in "AB" for n in range(1, 25))

crops = st.sampled_from(CROPS)
towers = st.lists(st.sampled_from(TOWERS), max_size=4, unique=True).map(tuple)
count = st.integers(0, 40)

NOTES = st.one_of(
    st.builds(Harvest, crop=crops, count=count, places=towers, culled=st.none() | st.integers(0, 3)),
    st.builds(Loss, crop=crops, count=count, reason=st.just("wilt"), places=towers),
    st.builds(Sow, crop=crops, count=st.integers(1, 144)),
    st.builds(Stand, crop=crops, up=st.integers(0, 72), of=st.just(72)),
    st.builds(Move, crop=crops, count=count, to=towers.filter(len)),
    st.builds(Clean, places=towers, what=st.just("towers")),
    st.builds(Reading, measure=st.just("ph"), value=st.floats(5, 7), where=st.just("main")),
    st.builds(Added, item=st.sampled_from(("nutrient_a", "ph_down")), amount_ml=count, where=st.just("main")),
    st.builds(StockNote, item=st.sampled_from(("gloves", "plugs")), state=st.sampled_from(("have", "received")), amount=count),
    st.builds(Gave, to=st.just("kitchen"), crop=crops, count=count),
    st.builds(Hours, minutes=st.integers(1, 300)),
    st.sampled_from((Arrive(), Leave(), Calibrated(measure="ph"), Correct(undo=True))),
    st.builds(Correct, count=st.integers(1, 30)),
)  # fmt: skip


def say_all(session, notes):
    """Say notes one after the other, as somebody who insists; what is refused changes nothing."""
    for at, note in enumerate(notes):
        said = scene(session, "walt", sure=True, at=NOW + timedelta(minutes=at), source=f"t:{at}")
        try:
            with session.begin_nested():
                carry_out(note, said)
        except Refused:
            continue


def plants(session):
    """Plants standing, cut whole, and lost, less those sown: the same whatever is said."""
    standing = sum(session.exec(select(Standing.plants)).all())
    gone = sum(session.exec(select(Cut.plants)).all())
    lost = sum(one.count for one in session.exec(select(PlantLoss)) if one.places)
    return standing + gone + lost


@pytest.fixture
def session(demo_books):
    with demo_books.write() as session:
        yield session


@given(notes=st.lists(NOTES, max_size=12))
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_tables_rebuilt_from_the_journal_are_the_tables(demo_template, tmp_path_factory, notes):
    books = demo_farm.copy(demo_template, tmp_path_factory.mktemp("said") / "farm.db")
    with books.write() as session:
        say_all(session, notes)
        assert Ledger(session, FARM).differences() == []
        assert all(plants >= 0 for plants in session.exec(select(Standing.plants)))
    books.close()


@given(notes=st.lists(NOTES.filter(lambda note: not isinstance(note, Correct)), max_size=8))
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_taking_back_everything_restores_the_farm_as_it_was(demo_template, tmp_path_factory, notes):
    books = demo_farm.copy(demo_template, tmp_path_factory.mktemp("undone") / "farm.db")
    with books.write() as session:
        before = Ledger(session, FARM).rebuilt()
        say_all(session, notes)
        for entry in session.exec(select(Entry.n).where(Entry.n > 1).order_by(Entry.n.desc())).all():
            Ledger(session, FARM).reverse(entry, scene(session).told)
        assert Ledger(session, FARM).rebuilt() == before
        assert Ledger(session, FARM).differences() == []
    books.close()


@given(notes=st.lists(NOTES, max_size=10))
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_plants_sown_are_standing_cut_or_lost(demo_template, tmp_path_factory, notes):
    """Losses and whole-head cuts without a place name no plants, so they take none off the books."""
    books = demo_farm.copy(demo_template, tmp_path_factory.mktemp("plants") / "farm.db")
    with books.write() as session:
        before = plants(session) - sum(session.exec(select(Batch.plugs)))
        placed = [note for note in notes if getattr(note, "places", True) or not isinstance(note, Loss)]
        say_all(session, placed)
        over = lost_beyond_the_books(session)
        assert plants(session) - sum(session.exec(select(Batch.plugs))) == before + over
    books.close()


def lost_beyond_the_books(session):
    """Plants that people insisted were lost or cut where the books had fewer."""
    taken = {}
    for posting in session.exec(select(Posting).where(Posting.account == "standing", Posting.verb == "add")):
        taken[posting.entry] = taken.get(posting.entry, 0) - min(0, posting.value.get("plants", 0))
    over = 0
    for table in (PlantLoss, Cut):
        for row in session.exec(select(table).where(table.entry > 1)):
            said = row.count if isinstance(row, PlantLoss) else row.plants
            if row.places and isinstance(row, PlantLoss) and row.reason == "wilt":
                over += said - taken.get(row.entry, 0)
    return over


def test_an_entry_is_never_edited_only_reversed(session):
    carry_out(Sow(crop="kale", count=36), scene(session, source="t:1"))
    first = session.exec(select(Entry).where(Entry.act == "sow")).one()
    as_written = first.model_dump()
    carry_out(Correct(undo=True), scene(session, source="t:2"))
    session.expire_all()
    assert session.exec(select(Entry).where(Entry.act == "sow")).one().model_dump() == as_written
    assert session.exec(select(Entry).where(Entry.reverses == first.n)).one().act == "undo"


def test_what_others_built_upon_cannot_be_taken_back(session):
    carry_out(Sow(crop="kale", count=36), scene(session, source="t:1"))
    carry_out(Move(crop="kale", count=900, to=("shelf1",)), scene(session, "bea", sure=True, source="t:2"))
    with pytest.raises(Refused) as refused:
        carry_out(Correct(undo=True), scene(session, source="t:3"))
    assert refused.value.kind == "built_upon"


def test_an_older_stock_count_taken_back_leaves_the_newer_one(session):
    carry_out(StockNote(item="gloves", state="have", amount=5), scene(session, "walt", source="t:1"))
    carry_out(StockNote(item="gloves", state="have", amount=80), scene(session, "bea", source="t:2"))
    carry_out(Correct(undo=True), scene(session, "walt", source="t:3"))
    assert session.get(Stock, (FARM, "gloves", "")).amount == 80


def test_a_row_changed_behind_the_journals_back_is_found(session):
    session.get(Place, (FARM, "A1")).state = "out"
    session.flush()
    assert any(one.startswith("place A1: state is 'out'") for one in Ledger(session, FARM).differences())


def test_a_row_that_vanished_is_found(session):
    session.delete(session.exec(select(Stock)).first())
    session.flush()
    assert any("in the journal, not in the table" in one for one in Ledger(session, FARM).differences())


def test_growing_reads_the_oldest_first(session):
    sown = [batch.sown_on for _, batch in growing.standing(Ledger(session, FARM))]
    assert sown == sorted(sown)


def test_a_coordinator_sets_a_target_and_closes_a_day(session):
    carry_out(Target(crop="kale", count=30, per="week"), scene(session, "priya", source="t:1"))
    carry_out(Closed(), scene(session, "priya", source="t:2"))
    assert Ledger(session, FARM).differences() == []
