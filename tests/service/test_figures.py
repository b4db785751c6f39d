"""Pictures asked for by text: which can be fetched, by whom, for how long, and what goes where none can."""

from datetime import timedelta
from io import BytesIO

import httpx
import pytest
from PIL import Image
from starlette.testclient import TestClient

from service import outbox
from service.app import create_app
from service.settings import Settings
from service.tables import Link, Outbound
from tests.demo_farm import FARM, NOW
from tests.practice_line import Line, rows
from tests.service.carriers.loopback import Loopback, a_twilio

LIMIT_OCTETS = 500_000


@pytest.fixture
def asked(demo_books):
    """A line on which Bea has asked for a drawing, and the text that answers her."""
    line = Line(demo_books)
    line.text("bea", "graph main ph")
    [answer] = [one for one in rows(line, Outbound) if one.media]
    return line, answer


def fetched(books, path, now=NOW):
    app = create_app(Settings(database=str(books.engine.url), _env_file=None), lambda: now)
    return TestClient(app).get(path)


def test_a_drawing_is_answered_with_its_figures_in_words_and_an_address(asked):
    _, answer = asked
    assert answer.body == "main pH, 14 days: 6.1 yesterday 9:20am, lowest 5.9, highest 6.1, want from 5.6 to 6.3."
    assert len(answer.media) == 1


def test_the_address_leads_to_a_small_png(asked):
    line, answer = asked
    got = fetched(line.books, httpx.URL(answer.media[0]).path)
    assert got.headers["content-type"] == "image/png"
    assert "no-store" in got.headers["cache-control"]
    assert len(got.content) < LIMIT_OCTETS
    assert Image.open(BytesIO(got.content)).size == (1080, 432)


def test_the_address_is_kept_only_as_a_digest_and_ends(asked):
    line, answer = asked
    path = httpx.URL(answer.media[0]).path
    secret = path.removeprefix("/figures/1-").removesuffix(".png")
    assert len(secret) == 32
    assert secret not in str([one.model_dump() for one in rows(line, Link)])
    assert fetched(line.books, path, NOW + timedelta(days=3)).status_code == 404
    assert fetched(line.books, path.replace(secret[:4], "AAAA")).status_code == 404


@pytest.mark.parametrize(
    ("said", "begins"),
    [
        ("chart main ec last week", "main EC, 7 days:"),
        ("grafica del ph de main", "main pH, 14 days:"),
        ("plot of the nursery ph", "nursery pH, 14 days:"),
        ("can you graph main ph this month?", "main pH, 30 days:"),
    ],
)
def test_a_drawing_is_asked_for_in_many_ways(demo_books, said, begins):
    assert Line(demo_books).text("bea", said)[0].startswith(begins)


def test_where_nothing_was_read_there_is_nothing_to_draw(demo_books):
    line = Line(demo_books)
    assert line.text("bea", "graph main ph today")[0].startswith("Nothing was read of main pH")
    assert not [one for one in rows(line, Outbound) if one.media]


@pytest.fixture
def by_carrier(asked):
    """The same answer, to be sent by Twilio's interface on loopback."""
    line, answer = asked
    with line.books.write() as session:
        session.get_one(Outbound, (FARM, answer.id)).carrier = "twilio"
    with Loopback() as loopback:
        yield line, answer, loopback


def send(line, loopback, **settings):
    carrier = a_twilio(loopback, **settings)
    outbox.send_due(line.books, {"twilio": carrier}, NOW + timedelta(seconds=5))
    carrier.close()


def test_the_carrier_is_given_the_address(by_carrier):
    line, answer, loopback = by_carrier
    send(line, loopback)
    assert [(one["body"], one["media"]) for one in loopback.texts] == [(answer.body, answer.media[0])]


def test_the_words_go_alone_where_the_carrier_takes_no_picture(by_carrier):
    """Twilio's 21620: the address of a picture is not a valid one (from memory)."""
    line, answer, loopback = by_carrier
    loopback.then((400, 21620))
    send(line, loopback)
    assert [(one["body"], one["media"]) for one in loopback.texts] == [(answer.body, None)]
    assert [one.state for one in rows(line, Outbound, Outbound.id == answer.id)] == ["sent"]


def test_no_picture_goes_where_the_carrier_cannot_fetch_it(by_carrier):
    line, _, loopback = by_carrier
    send(line, loopback, public_url="http://127.0.0.1:8000")
    assert [one["media"] for one in loopback.texts] == [None]
