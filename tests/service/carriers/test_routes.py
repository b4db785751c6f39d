"""The carrier's webhooks through the whole web stack: bodies as the carrier posts them, signed as it signs them."""

import json
import sqlite3
from contextlib import closing
from pathlib import Path
from urllib.parse import quote_plus

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from sqlmodel import select
from twilio.request_validator import RequestValidator

from service.arrivals import Arrivals
from service.carriers import routes
from service.carriers.twilio import Twilio
from service.settings import Settings
from service.tables import Inbound, Outbound
from tests.service.carriers.farm import NOW, WALT, WALTS_PHONE
from tests.service.carriers.loopback import ACCOUNT, TOKEN, signed

BODIES = Path(__file__).parents[3] / "fixtures" / "carriers"
PUBLIC = "https://farm.example"
INBOUND, STATUS = "/carriers/twilio/inbound", "/carriers/twilio/status"
TEXTS_TO_US = sorted(
    path.stem for path in BODIES.glob("inbound__*.json") if path.stem != "inbound__another_farms_number"
)


def body_of(name):
    return json.loads((BODIES / f"{name}.json").read_text("utf-8"))


class Line:
    """A farm with its carrier's line: what is posted to it, and what it woke."""

    def __init__(self, books, **settings):
        self.books, self.woken = books, []
        app = FastAPI()
        app.state.books, app.state.clock = books, lambda: NOW
        app.state.arrivals = Arrivals(books)
        app.state.wake = lambda farm_id, inbound_id: self.woken.append((farm_id, inbound_id))
        app.state.settings = Settings(
            _env_file=None, public_url=PUBLIC, twilio_account=ACCOUNT, **({"twilio_token": TOKEN} | settings)
        )
        app.include_router(routes.router(Twilio.of(app.state.settings)))
        # The service sees the address of the proxy's far side, never the public one.
        self.client = TestClient(app, base_url="http://127.0.0.1:8000")

    def post(self, path, form, token=TOKEN, **headers):
        head, body = signed(PUBLIC + path, form, token)
        return self.client.post(path, content=body, headers=head | headers)

    def stored(self, table=Inbound):
        with self.books.read() as session:
            rows = list(session.exec(select(table)).all())
            session.expunge_all()
            return rows


@pytest.fixture
def line(books):
    return Line(books)


@pytest.mark.parametrize("name", TEXTS_TO_US)
def test_a_text_is_stored_as_it_was_typed_before_it_is_acknowledged(line, name):
    form = body_of(name)
    answer = line.post(INBOUND, form)
    assert (answer.status_code, answer.text) == (200, "<Response/>")
    assert answer.headers["content-type"].startswith("application/xml")
    (row,) = line.stored()
    assert (row.id, row.phone) == (f"twilio:{form['MessageSid']}", form["From"])
    assert (row.body, row.received_at) == (form["Body"].replace("\r", ""), NOW)
    assert line.woken == [(1, row.id)]


def test_a_picture_without_words_is_a_text(line):
    line.post(INBOUND, body_of("inbound__photo_without_words"))
    (row,) = line.stored()
    assert (row.body, [medium["type"] for medium in row.media]) == ("", ["image/jpeg"])


def test_the_second_delivery_of_a_text_changes_nothing_and_hears_the_same(line):
    first, second = (line.post(INBOUND, body_of("inbound__harvest")) for _ in range(2))
    assert (first.status_code, first.text) == (second.status_code, second.text)
    assert len(line.stored()) == 1


def test_a_text_that_is_done_wakes_nobody_again(line):
    line.post(INBOUND, body_of("inbound__harvest"))
    with line.books.write() as session:
        session.exec(select(Inbound)).one().done_at = NOW
    line.post(INBOUND, body_of("inbound__harvest"))
    assert len(line.woken) == 1


def test_a_text_to_a_number_that_is_no_farms_is_not_found(line):
    answer = line.post(INBOUND, body_of("inbound__another_farms_number"))
    assert (answer.status_code, line.stored(), line.woken) == (404, [], [])


def changed(**fields):
    return {**body_of("inbound__harvest"), **fields}


def test_a_text_without_an_id_is_refused(line):
    assert line.post(INBOUND, changed(MessageSid="")).status_code == 400
    assert line.stored() == []


@pytest.mark.parametrize(
    "body",
    [
        "nul \x00 inside",
        "\x00",
        "x" * 2000,
        "🌱" * 1600,
        "\u202eright to left",
        "<Response>&amp;</Response>",
        "'); drop--",
    ],
)
def test_a_strange_body_is_stored_and_acknowledged(line, body):
    assert line.post(INBOUND, changed(Body=body)).status_code == 200
    assert len(line.stored()) == 1


def test_octets_that_are_no_text_are_turned_away_unless_they_are_signed(line):
    answer = line.client.post(INBOUND, content=b"\xff\xfe\x00Body=%ff%fe", headers={"X-Twilio-Signature": "x"})
    assert (answer.status_code, answer.content) == (403, b"")
    raw = "&".join(f"{name}={quote_plus(value)}" for name, value in changed(Body="?").items())
    head, _ = signed(PUBLIC + INBOUND, changed(Body="\ufffd\ufffd"))
    assert line.client.post(INBOUND, content=raw.replace("%3F", "%ff%fe"), headers=head).status_code == 200


def test_a_call_longer_than_any_text_is_turned_away(line):
    assert line.post(INBOUND, changed(Body="x" * 100_000)).status_code == 413


FORM = {"content-type": "application/x-www-form-urlencoded"}


@pytest.mark.parametrize("path", [INBOUND, STATUS])
@pytest.mark.parametrize("headers", [{}, {"X-Twilio-Signature": ""}, {"X-Twilio-Signature": "forged"}])
def test_what_the_carrier_did_not_sign_is_forbidden(line, path, headers):
    _, body = signed(PUBLIC + path, body_of("inbound__harvest"))
    answer = line.client.post(path, content=body, headers=FORM | headers)
    assert (answer.status_code, answer.content, line.stored()) == (403, b"", [])


def test_what_was_signed_with_another_secret_is_forbidden(line):
    assert line.post(INBOUND, body_of("inbound__harvest"), token="another").status_code == 403


def test_a_signed_call_that_was_changed_on_the_way_is_forbidden(line):
    head, body = signed(PUBLIC + INBOUND, body_of("inbound__harvest"))
    assert line.client.post(INBOUND, content=body.replace("24", "99"), headers=head).status_code == 403


def test_a_farm_without_a_secret_takes_nothing(books):
    """An empty secret would make every signature easy to forge."""
    assert Line(books, twilio_token="").post(INBOUND, body_of("inbound__harvest"), token="").status_code == 403


def test_headers_of_a_proxy_do_not_decide_what_address_was_signed(line):
    forwarded = {"X-Forwarded-Proto": "http", "X-Forwarded-Host": "elsewhere.example", "Host": "elsewhere.example"}
    assert line.post(INBOUND, body_of("inbound__harvest"), **forwarded).status_code == 200


def place_a_sent_text(books):
    with books.write() as session:
        session.add(
            Outbound(
                farm_id=1, id=1, key="k", carrier="twilio", phone=WALTS_PHONE, person_id=WALT, kind="reply", body="x",
                state="sending", next_try_at=NOW, created_at=NOW,
            )
        )  # fmt: skip


@pytest.mark.parametrize(
    ("told", "state", "error"),
    [
        (["sent"], "sent", None),
        (["delivered", "sent"], "delivered", None),
        (["sent", "undelivered_landline", "sent"], "failed", "30006"),
        (["state_of_next_year"], "sending", None),
    ],
)
def test_news_of_a_text_moves_it_on(line, told, state, error):
    place_a_sent_text(line.books)
    for name in told:
        assert line.post(f"{STATUS}?text=1.1", body_of(f"status__{name}")).status_code == 204
    (row,) = line.stored(Outbound)
    assert (row.state, row.error) == (state, error)


def test_news_whose_reference_was_changed_is_forbidden(line):
    place_a_sent_text(line.books)
    head, body = signed(f"{PUBLIC}{STATUS}?text=1.2", body_of("status__delivered"))
    assert line.client.post(f"{STATUS}?text=1.1", content=body, headers=head).status_code == 403


def test_the_log_holds_no_number_and_no_words(line, caplog):
    caplog.set_level("DEBUG")
    line.post(INBOUND, body_of("inbound__harvest"))
    line.post(INBOUND, body_of("inbound__another_farms_number"))
    assert "5550142" not in caplog.text
    assert "basil" not in caplog.text


# exchanging the secret


NEW_TOKEN, KEY = "the-token-to-come", "the-secret-of-a-shared-key"
KEY_HEADERS = {"X-Twilio-Webhooks-Signature-Settings": "key=webhooks_sharedkey_1,algorithm=HMAC_SHA256"}


@pytest.mark.parametrize(("signs", "status"), [(TOKEN, 200), (NEW_TOKEN, 200), ("a third one", 403)])
def test_while_a_token_is_exchanged_both_are_believed_and_no_text_is_lost(books, signs, status):
    """Only the carrier's primary token signs, and it is the other one a moment later: Twilio error 57012."""
    line = Line(books, twilio_token=NEW_TOKEN, twilio_token_old=TOKEN)
    assert line.post(INBOUND, body_of("inbound__harvest"), token=signs).status_code == status


def test_once_it_is_exchanged_the_old_token_is_no_longer_believed(books):
    line = Line(books, twilio_token=NEW_TOKEN)
    assert line.post(INBOUND, body_of("inbound__harvest"), token=TOKEN).status_code == 403


def by_key(secret, form, algorithm="HMAC_SHA256"):
    head, body = signed(PUBLIC + INBOUND, form)
    signature = RequestValidator(secret).compute_signature(PUBLIC + INBOUND, form, algorithm)
    return head | {"X-Twilio-Signature": signature} | KEY_HEADERS, body


@pytest.mark.parametrize(("secret", "status"), [(KEY, 200), (TOKEN, 403)])
def test_a_call_signed_by_a_shared_key_is_checked_by_that_key_alone(books, secret, status):
    """https://www.twilio.com/docs/usage/webhooks/webhook-shared-keys"""
    line = Line(books, twilio_signing_key=KEY)
    head, body = by_key(secret, body_of("inbound__harvest"))
    assert line.client.post(INBOUND, content=body, headers=head).status_code == status


def test_a_shared_key_that_was_not_set_here_opens_nothing(line):
    head, body = by_key("", body_of("inbound__harvest"))
    assert line.client.post(INBOUND, content=body, headers=head).status_code == 403


def test_an_algorithm_that_nobody_knows_opens_nothing(books):
    line = Line(books, twilio_signing_key=KEY)
    head, body = by_key(KEY, body_of("inbound__harvest"))
    head |= {"X-Twilio-Webhooks-Signature-Settings": "key=k,algorithm=HMAC_MD5"}
    assert line.client.post(INBOUND, content=body, headers=head).status_code == 403


@pytest.mark.parametrize(("path", "name"), [(INBOUND, "inbound__harvest"), (STATUS, "status__sent")])
def test_what_the_books_did_not_keep_is_not_acknowledged(line, path, name, caplog):
    """Another process holds them for longer than we wait."""
    file = line.books.engine.url.database
    with closing(sqlite3.connect(file, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with line.books.engine.connect() as ours:
            ours.exec_driver_sql("PRAGMA busy_timeout=50")
        assert line.post(path, body_of(name)).status_code == 503
        other.execute("ROLLBACK")
    assert line.post(path, body_of(name)).status_code in (200, 204)
    assert "5550142" not in caplog.text
