"""Any bytes and any fields at the carrier's webhooks, signed and not: never an answer of class 500, and sound books."""

from contextlib import closing

import pytest
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlmodel import select

from core.books.ledger import Ledger
from service import inbox
from service.app import create_app
from service.conversation import Conversation
from service.settings import Settings
from service.tables import Inbound
from tests.demo_farm import FARM, NOW
from tests.service.carriers.loopback import ACCOUNT, TOKEN, signed

PUBLIC = "https://farm.example"
PATHS = ("/carriers/twilio/inbound", "/carriers/twilio/status")
NAMES = (
    *("MessageSid", "SmsSid", "AccountSid", "From", "To", "Body", "NumMedia", "MediaUrl0", "MediaContentType0"),
    *("MessageStatus", "SmsStatus", "ErrorCode", "OptOutType", "RawDlrDoneDate"),
)
VALUES = st.one_of(
    st.text(max_size=40),
    st.sampled_from(
        ["", "0", "-1", "99999999999999999999", "STOP", "+13125550101", "+13125550199", "SM1", "delivered"]
    ),
)
FORMS = st.dictionaries(st.one_of(st.sampled_from(NAMES), st.text(max_size=8)), VALUES, max_size=14)


@pytest.fixture
def call(demo_books):
    """Posts to the whole service; an error that would be a 500 is raised by the client as what it is."""
    asked = Settings(
        _env_file=None, database=str(demo_books.engine.url), public_url=PUBLIC, twilio_account=ACCOUNT,
        twilio_token=TOKEN, clockwork=False,
    )  # fmt: skip
    app = create_app(asked, lambda: NOW)
    with closing(app.state.books):
        yield TestClient(app, base_url="http://127.0.0.1:8000").post


many = settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@many
@given(
    st.sampled_from(PATHS),
    st.binary(max_size=300),
    st.dictionaries(
        st.sampled_from(["content-type", "x-twilio-signature"]),
        st.text(st.characters(min_codepoint=32, max_codepoint=126), max_size=60),
    ),
)
def test_bytes_that_nobody_signed_are_forbidden(call, path, body, headers):
    assert call(path, content=body, headers=headers).status_code == 403


@many
@given(st.sampled_from(PATHS), FORMS, st.data())
def test_whatever_fields_are_signed_the_answer_is_no_fault_of_ours(call, path, form, data):
    if data.draw(st.booleans()):
        form |= {"MessageSid": f"SM{data.draw(st.integers(0, 20))}", "AccountSid": ACCOUNT, "To": "+13125550142"}
    head, body = signed(PUBLIC + path, form)
    assert call(path, content=body, headers=head).status_code in (200, 204, 400, 403, 404)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(
        st.tuples(st.sampled_from(["+13125550100", "+13125550101", "+13125550150"]), st.text(max_size=200)), max_size=3
    )
)
def test_every_text_that_is_acknowledged_is_finished_and_the_books_stay_sound(call, demo_books, said):
    with demo_books.read() as session:
        number = session.exec(select(Inbound.id)).all()
    for n, (phone, body) in enumerate(said):
        form = {"MessageSid": f"SM{len(number)}x{n}", "AccountSid": ACCOUNT, "From": phone, "Body": body}
        head, posted = signed(PUBLIC + PATHS[0], form | {"To": FARM_NUMBER, "NumMedia": "0"})
        assert call(PATHS[0], content=posted, headers=head).status_code == 200
    inbox.finish_all(demo_books, CONVERSATION, NOW)
    with demo_books.read() as session:
        assert [one.trouble for one in session.exec(select(Inbound)) if one.trouble or not one.done_at] == []
        assert Ledger(session, FARM).differences() == []


FARM_NUMBER = "+13125550199"
CONVERSATION = Conversation()
