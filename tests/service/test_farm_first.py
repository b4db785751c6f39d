"""No statement on the way of a text or of a morning is without its farm, but for the few that look for a farm."""

import re
from datetime import datetime, timedelta

import pytest
from sqlmodel import SQLModel

from service import inbox, outbox
from service.carriers import News, Sent
from service.carriers.practice import Practice
from service.photos.fetching import fetch_due
from tests.demo_farm import CHICAGO
from tests.farm_first import EXCEPTIONS, lacking, watched
from tests.practice_line import Line
from tests.service.test_dialogues import FILES, blocks
from tests.service.ticks import local, run


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_dialogue_asks_for_its_own_farms_rows_only(demo_books, file):
    with watched() as (seen, wrong):
        line = Line(demo_books)
        for step in blocks(file):
            if step[0] == "@":
                line.now = datetime.fromisoformat(step[1]).replace(tzinfo=CHICAGO)
            else:
                line.text(*step[:2])
                line.now += timedelta(microseconds=1)
    assert len(seen) > 20
    assert wrong == {}


def test_a_day_of_the_clockwork_asks_farm_by_farm(demo_books):
    with watched() as (seen, wrong):
        run(demo_books, local(2026, 5, 5, 6), local(2026, 5, 6, 9), timedelta(minutes=30))
        outbox.send_due(demo_books, {"practice": Practice()}, local(2026, 5, 6, 9))
        inbox.finish_all(demo_books, Line(demo_books).conversation, local(2026, 5, 6, 9))
        assert fetch_due(demo_books, {}, local(2026, 5, 6, 9)) == 0
        with demo_books.write() as session:
            assert not outbox.status(session, News(Sent("SM1"), None, "+13125550199"), local(2026, 5, 6, 9))
    assert wrong == {}
    statements = [" ".join(one.split()) for one in seen]
    assert all(any(re.search(exception, one) for one in statements) for exception in EXCEPTIONS)


@pytest.mark.parametrize(
    ("statement", "tables"),
    [
        ("SELECT a FROM person WHERE person.phone = ?", ["person"]),
        ("SELECT a FROM person WHERE person.farm_id = ? AND person.phone = ?", []),
        ("SELECT a FROM standing JOIN batch ON batch.code = standing.batch WHERE standing.farm_id = ?", ["batch"]),
        ("UPDATE outbound SET state=? WHERE outbound.state = ?", ["outbound"]),
        ("DELETE FROM batch WHERE batch.code = ?", ["batch"]),
        ("SELECT a FROM entry WHERE entry.farm_id = ? AND n IN (SELECT n FROM entry WHERE act = ?)", ["entry"]),
        ("SELECT a FROM farm", ["farm"]),
        ("SELECT a FROM farm WHERE farm.phone = ?", []),
    ],
)
def test_the_check_can_tell(statement, tables):
    assert lacking(statement) == tables


def test_the_farm_leads_every_index_but_the_one_that_finds_farms():
    led_by_another = [
        index.name
        for table in SQLModel.metadata.tables.values()
        for index in table.indexes
        if table.name != "farm" and next(iter(index.columns)).name != "farm_id"
    ]
    assert led_by_another == ["ix_next_look_at"]
