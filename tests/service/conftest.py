"""What the tests of the service share: a farm's books in a database of their own, and a carrier on the loopback."""

from contextlib import closing

import pytest
from click.testing import CliRunner

from service.cli import main
from service.settings import settings
from tests.service.carriers.farm import NOW, open_farm
from tests.service.carriers.loopback import Loopback, a_twilio


@pytest.fixture
def books(new_address):
    books = open_farm(new_address())
    yield books
    books.close()


@pytest.fixture
def rowcall(demo_books, monkeypatch):
    """The commands, on a demo farm of their own."""
    monkeypatch.setenv("ROWCALL_DATABASE", demo_books.engine.url.render_as_string(hide_password=False))
    settings.cache_clear()
    yield lambda *words: CliRunner().invoke(main, words)
    settings.cache_clear()


@pytest.fixture
def loopback():
    with Loopback(NOW) as server:
        yield server


@pytest.fixture
def twilio(loopback):
    with closing(a_twilio(loopback)) as carrier:
        yield carrier
