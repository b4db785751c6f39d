"""The life of a batch through every act there is: no plant appears or vanishes unsaid, whatever is taken back."""

import tempfile
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule
from sqlmodel import select

from core.acts import carry_out
from core.books import growing
from core.books.tables import Batch, GerminationCount, Gone, Standing
from core.errors import Refused
from core.notes import Clean, Correct, Harvest, Loss, Move, Sow, Stand
from tests import demo_farm
from tests.demo_farm import CHICAGO, NOW, scene

TOWERS = ("A1", "A2", "A21", "D1", "D2", "D9", "D10", "F4")
PLACES = (*TOWERS, "dome", "shelf1", "shelf3", "towers", "shelves")
CROPS = ("butterhead", "kale", "cilantro")
counts = st.integers(1, 60)
crops = st.sampled_from(CROPS)
some_places = st.lists(st.sampled_from(PLACES), max_size=3, unique=True).map(tuple)
some_towers = st.lists(st.sampled_from(TOWERS), min_size=1, max_size=3, unique=True).map(tuple)


@pytest.fixture
def session(demo_books):
    with demo_books.write() as session:
        yield session


def unbalanced(ledger):
    return [one for one in growing.accounts(ledger) if not one.balanced]


def say(session, note, *, sure=False, days=0, who="walt", minutes=0):
    at = NOW + timedelta(days=days, minutes=minutes)
    said = scene(session, who, sure=sure, at=at, source=f"t:{at.isoformat()}{note}")
    return carry_out(note, said)


def plants(session, place, crop=None):
    return sum(stand.plants for stand, _ in growing.standing(scene(session).ledger, [place], crop))


def test_the_demo_farm_accounts_for_every_plug(session):
    assert unbalanced(scene(session).ledger) == []


def test_a_batch_goes_from_the_packet_to_the_last_cut_and_keeps_its_code_through_every_split(session):
    say(session, Move(crop="kale", count=40, origin=("dome",), to=("shelf3",)), sure=True)
    say(session, Sow(crop="kale", count=20, packet="K23"))
    batch = session.exec(select(Batch).where(Batch.packet == "K23")).one()
    say(session, Stand(crop="kale", up=17, of=20), days=3)
    say(session, Move(crop="kale", count=17, origin=("dome",), to=("shelf4",)), days=3)
    say(session, Move(crop="kale", count=10, origin=("shelf4",), to=("A21",)), days=17, sure=True)
    say(session, Move(crop="kale", count=7, origin=("shelf4",), to=("A22",)), days=17)
    for cut in range(5):
        say(session, Harvest(crop="kale", count=12, places=("A21", "A22")), days=45 + 12 * cut)
    left = [
        (row.place, row.plants, row.cuts)
        for row in session.exec(select(Standing).where(Standing.plants > 0))
        if row.batch == batch.code
    ]
    assert sorted(left) == [("A21", 10, 5), ("A22", 7, 5)]
    cleaned = say(session, Clean(places=("A21", "A22")), days=95)
    assert [one.kind for one in cleaned.remarks] == ["cleared"]
    account = next(one for one in growing.accounts(scene(session).ledger) if one.code == batch.code)
    assert (account.sown, account.standing, account.picked, account.lost) == (20, 0, 17, 3)


def test_after_its_last_cut_a_tower_is_said_to_be_cleared(session):
    outcome = say(session, Harvest(crop="kale", count=20, places=("D1",)), sure=True)
    assert [one.kind for one in outcome.remarks] == ["last_cut"]


def test_two_batches_of_one_crop_in_one_tower_stay_two_batches(session):
    say(session, Sow(crop="mint", count=4))
    say(session, Move(crop="mint", count=4, origin=("dome",), to=("F4",)), sure=True)
    batches = [batch.code for _, batch in growing.standing(scene(session).ledger, ["F4"])]
    assert len(batches) == len(set(batches)) == 2


def test_plants_that_change_towers_keep_their_age_and_their_cuts(session):
    before = growing.standing(scene(session).ledger, ["D5"])[0][0]
    since, cuts, last_cut = before.since, before.cuts, before.last_cut
    say(session, Move(crop="kale", count=8, origin=("D5",), to=("A21",)))
    after = growing.standing(scene(session).ledger, ["A21"])[0][0]
    assert (after.since, after.cuts, after.last_cut) == (since, cuts, last_cut)
    assert growing.places(scene(session).ledger, ["D5"])["D5"].state == "to clean"


def test_a_cut_is_not_taken_back_once_its_tower_is_planted_anew(session):
    say(session, Harvest(crop="butterhead", count=8, places=("A1",)))
    say(session, Clean(places=("A1",)), minutes=1, who="bea")
    say(session, Move(crop="romaine", count=8, origin=("shelf2",), to=("A1",)), minutes=2, who="bea")
    with pytest.raises(Refused, match="built_upon"):
        say(session, Correct(undo=True), minutes=3)


def test_moving_plants_nobody_said_where_to_is_refused(session):
    with pytest.raises(Refused, match="move_where"):
        say(session, Move(crop="kale", count=8))
    assert say(session, Move(crop="kale", count=8, origin=("shelf3",))).facts[0].values["to"] == ("towers",)


def test_every_plant_that_left_for_good_has_a_reason(session):
    say(session, Harvest(crop="butterhead", count=7, places=("A1",)))
    say(session, Loss(crop="romaine", count=2, reason="wilt", places=("B1",)), minutes=1)
    rows = session.exec(select(Gone).where(Gone.entry > 1)).all()
    assert {(one.place, one.plants, one.why) for one in rows} == {("A1", 7, "cut"), ("A1", 1, "gap"), ("B1", 2, "lost")}


class Farm(RuleBasedStateMachine):
    """Anything the crew may say in any order, confirmed or not, and taken back now and then."""

    template = None

    @initialize()
    def open(self):
        folder = Path(tempfile.mkdtemp())
        if Farm.template is None:
            demo_farm.make(f"sqlite:///{folder}/template.db")
            Farm.template = demo_farm.SqliteTemplate(folder / "template.db")
        self.books = demo_farm.copy(Farm.template, folder / "farm.db")
        self.minute = 0

    @contextmanager
    def scene(self, sure):
        self.minute += 50
        with self.books.write() as session:
            at = NOW + timedelta(minutes=self.minute)
            yield scene(session, sure=sure, at=at, source=f"t:{self.minute}")

    def say(self, note, sure):
        try:
            with self.scene(sure) as one:
                outcome = carry_out(note, one)
                assert (outcome.entry is None) == bool(outcome.doubts)
        except Refused:
            pass

    @rule(crop=crops, count=counts)
    def sow(self, crop, count):
        self.say(Sow(crop=crop, count=count), False)

    @rule(crop=crops, up=counts, of=counts, sure=st.booleans())
    def stand(self, crop, up, of, sure):
        self.say(Stand(crop=crop, up=up, of=of), sure)

    @rule(crop=crops, share=st.sampled_from([0.5, 0.9, 1]))
    def count_the_newest_batch(self, crop, share):
        with self.books.read() as session:
            sown = session.exec(select(Batch.plugs).where(Batch.crop == crop).order_by(Batch.sown_on.desc())).first()
        self.say(Stand(crop=crop, up=round(sown * share), of=sown), False)

    @rule(crop=crops, count=counts | st.none(), origin=some_places, to=some_places, sure=st.booleans())
    def move(self, crop, count, origin, to, sure):
        self.say(Move(crop=crop, count=count, origin=origin, to=to), sure)

    @rule(crop=crops, count=counts, culled=st.none() | st.integers(1, 5), places=some_places, sure=st.booleans())
    def harvest(self, crop, count, culled, places, sure):
        self.say(Harvest(crop=crop, count=count, culled=culled, places=places), sure)

    @rule(crop=crops, count=counts, places=some_places, sure=st.booleans())
    def lose(self, crop, count, places, sure):
        self.say(Loss(crop=crop, count=count, reason="wilt", places=places), sure)

    @rule(places=some_towers, sure=st.booleans())
    def clean(self, places, sure):
        self.say(Clean(places=places), sure)

    @rule()
    def undo(self):
        self.say(Correct(undo=True), True)

    @rule(count=counts)
    def correct(self, count):
        self.say(Correct(count=count), True)

    @invariant()
    def every_plug_is_accounted_for(self):
        if not hasattr(self, "books"):
            return
        with self.books.read() as session:
            ledger = scene(session).ledger
            assert unbalanced(ledger) == []
            assert session.exec(select(Standing).where(Standing.plants < 0)).all() == []

    def teardown(self):
        if not hasattr(self, "books"):
            return
        with self.books.read() as session:
            ledger = scene(session).ledger
            assert ledger.differences() == []
            today = (NOW + timedelta(minutes=self.minute)).astimezone(CHICAGO).date()
            for place in PLACES:
                now = {(row.batch, row.plants, row.cuts) for row, _ in growing.standing(ledger, [place])}
                then = {
                    (row.batch, row.plants, row.cuts) for row, _ in growing.standing_on(ledger, place, today, CHICAGO)
                }
                assert then == now, place
            assert session.exec(select(GerminationCount).where(GerminationCount.up < 0)).all() == []
        self.books.close()


TestFarm = Farm.TestCase
TestFarm.settings = settings(
    max_examples=20, stateful_step_count=25, deadline=None, suppress_health_check=list(HealthCheck)
)
