"""What the tests of the practice phone share: the demo farm's service, and a phone that speaks to it over HTTP."""

import pytest
from fastapi.testclient import TestClient

from tests.browser.farm import open_demo


@pytest.fixture
def app(tmp_path):
    return open_demo(f"sqlite:///{tmp_path}/farm.db")


@pytest.fixture
def phone(app):
    with TestClient(app) as client:
        yield client
