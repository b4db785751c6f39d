"""Two farms in one service, alike down to their numbers: whatever happens on one, the other's rows stay as they are."""

from datetime import datetime, timedelta

import pytest
from sqlmodel import SQLModel, select

from core.books.ledger import Ledger
from core.books.tables import Farm, Person
from service import inbox, outbox, rounds
from service.carriers import TextIn
from service.carriers.practice import Practice
from service.clockwork import tick
from service.conversation import Conversation
from service.tables import Outbound
from tests import demo_farm
from tests.demo_farm import CHICAGO, FARM, NOW
from tests.service.test_dialogues import FILES, FOLDER, blocks
from tests.service.ticks import local, place

OURS_PHONE = "+13125550199"
OTHER, OTHERS_PHONE = 2, "+13125550198"


@pytest.fixture
def two_farms(demo_books):
    """The demo farm and its twin: same crops, people, phones and numbers; told apart by the number texted to."""
    with demo_books.write() as session:
        copy_farm(session)
    return demo_books


def copy_farm(session):
    farm = session.get_one(Farm, FARM)
    session.add(Farm(**farm.model_dump() | {"id": OTHER, "slug": "twin", "phone": OTHERS_PHONE}))
    session.flush()
    for table in SQLModel.metadata.sorted_tables:
        if "farm_id" in table.columns:
            for row in session.execute(select(table).where(table.c.farm_id == FARM)).mappings().all():
                session.execute(table.insert().values(**{**row, "farm_id": OTHER}))


def rows_of(books, farm_id):
    """Every row of a farm in every table, but for whose it is and when the clockwork looks again."""
    with books.read() as session:
        return {
            table.name: [
                {name: value for name, value in row.items() if name != "farm_id"}
                for row in session.execute(
                    select(table).where(table.c.farm_id == farm_id).order_by(*table.primary_key.columns)
                ).mappings()
            ]
            for table in SQLModel.metadata.sorted_tables
            if "farm_id" in table.columns and table.name != "next_look"
        }


class Phones:
    """The crew's phones, texting one of the farms."""

    def __init__(self, books, number):
        self.books, self.number, self.sent = books, number, 0
        self.conversation = Conversation()

    def text(self, who, body, now):
        """The replies to a text."""
        self.sent += 1
        with self.books.write() as session:
            farm = session.exec(select(Farm).where(Farm.phone == self.number)).one()
            phone = session.exec(select(Person.phone).where(Person.farm_id == farm.id, Person.handle == who)).first()
            said = TextIn("practice", f"d{self.sent}", farm.phone, phone or who, body)
            stored, _ = inbox.receive(session, farm, said, now)
        inbox.finish(self.books, farm.id, stored.id, self.conversation, now)
        with self.books.read() as session:
            mine = select(Outbound.body).where(Outbound.farm_id == farm.id, Outbound.reply_to == stored.id)
            return list(session.exec(mine))


def play(phones, file):
    """A whole dialogue; all replies."""
    now, said = NOW, []
    for step in blocks(file):
        if step[0] == "@":
            now = datetime.fromisoformat(step[1]).replace(tzinfo=CHICAGO)
        else:
            said += phones.text(*step[:2], now)
            now += timedelta(microseconds=1)
    return said


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_dialogue_with_one_farm_leaves_the_other_as_it_was(two_farms, file):
    before = rows_of(two_farms, FARM)
    assert play(Phones(two_farms, OTHERS_PHONE), file)
    assert rows_of(two_farms, FARM) == before
    with two_farms.read() as session:
        assert Ledger(session, OTHER).differences() == []


def test_what_one_farm_was_told_changes_no_answer_of_the_other(two_farms, demo_template, tmp_path):
    asked, told = (FOLDER / "tour.txt", FOLDER / "harvest.txt")
    alone = demo_farm.copy(demo_template, tmp_path / "alone.db")
    by_itself = play(Phones(alone, OURS_PHONE), asked)
    alone.close()
    play(Phones(two_farms, OTHERS_PHONE), told)
    assert play(Phones(two_farms, OURS_PHONE), asked) == by_itself


def test_a_day_of_the_clockwork_does_the_same_for_both_and_mixes_nothing(two_farms):
    for hour in (6, 7, 8, 12, 18, 19):
        tick(two_farms, local(2026, 5, 5, hour), place)
    one, other = rows_of(two_farms, FARM), rows_of(two_farms, OTHER)
    assert {row["kind"] for row in one["outbound"]} >= {"digest", "reminder"}
    assert one == other


def test_a_digest_shows_what_its_own_farm_has(two_farms):
    Phones(two_farms, OTHERS_PHONE).text("walt", "the pump is leaking", NOW)
    with two_farms.read() as session:
        ours = rounds.digest(session, FARM, NOW.date(), NOW)
        theirs = rounds.digest(session, OTHER, NOW.date(), NOW)
    assert ours != theirs
    assert "leak" in theirs.lower()
    assert "leak" not in ours.lower()


def test_texts_of_both_go_out_under_their_own_numbers(two_farms):
    senders = []

    class Watching(Practice):
        def send(self, text):
            senders.append((text.reference.split(".")[0], text.sender))
            return super().send(text)

    for number in (OURS_PHONE, OTHERS_PHONE):
        Phones(two_farms, number).text("walt", "ph main is 5.9", NOW)
    outbox.send_due(two_farms, {"practice": Watching()}, NOW)
    assert sorted(senders) == [("1", OURS_PHONE), ("2", OTHERS_PHONE)]
