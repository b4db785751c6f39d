"""What the tests of the service share: a farm's books in a database of their own, and a carrier on the loopback."""

from contextlib import closing

import pytest

from tests.service.carriers.farm import NOW, open_farm
from tests.service.carriers.loopback import Loopback, a_twilio


@pytest.fixture
def books(new_address):
    books = open_farm(new_address())
    yield books
    books.close()


@pytest.fixture
def loopback():
    with Loopback(NOW) as server:
        yield server


@pytest.fixture
def twilio(loopback):
    with closing(a_twilio(loopback)) as carrier:
        yield carrier
