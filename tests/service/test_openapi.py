"""Whatever is sent to an address that the service describes, it never breaks: no answer of class 500."""

import pytest
import schemathesis
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, given, settings
from schemathesis import checks
from sqlmodel import select

from core.books.ledger import Ledger
from core.books.tables import Farm
from tests.board_door import sign_in
from tests.browser.farm import open_demo, serve, served

STREAMS = ("/practice/events", "/board/events")
"""Answers that never end are tested where they are."""

ADDRESSES = [
    (path, method)
    for path, methods in serve("sqlite://").openapi()["paths"].items()
    for method in methods
    if path not in STREAMS
]

thoroughly = settings(
    max_examples=20, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck)
)


@pytest.fixture(scope="module")
def service(tmp_path_factory):
    """The demo's service with all its doors open, described, and a coordinator's cookie; its books stay true."""
    app = open_demo(f"sqlite:///{tmp_path_factory.mktemp('openapi')}/farm.db")
    cookie = sign_in(app, TestClient(app)).cookies["rowcall_board"]
    with served(app) as address:
        yield schemathesis.openapi.from_url(f"{address}/openapi.json"), cookie
    with app.state.books.read() as session:
        assert [Ledger(session, farm).differences() for farm in session.exec(select(Farm.id))] == [[]]


def test_the_service_describes_its_addresses():
    assert {("/board", "get"), ("/board/sign-in", "post"), ("/health", "get")} <= set(ADDRESSES)


@pytest.mark.parametrize(("path", "method"), ADDRESSES)
def test_no_call_breaks_the_service(service, path, method):
    """With and without somebody signed in, with what the description allows and with what it does not."""
    schema, cookie = service
    visitors = ({}, {"rowcall_board": cookie}) if path.startswith("/board") else ({},)

    @thoroughly
    @given(case=schema[path][method].as_strategy())
    def call(case):
        for cookies in visitors:
            answer = case.call(cookies=cookies, allow_redirects=False)
            case.validate_response(answer, checks=(checks.not_a_server_error,))

    call()
