"""The demo farm with its carrier, and the service on it as a process."""

import pytest

from tests import demo_farm
from tests.faults.service import Service
from tests.service.carriers.loopback import Loopback


@pytest.fixture
def loopback():
    with Loopback() as server:
        yield server


@pytest.fixture
def service(sqlite_template, tmp_path, loopback):
    demo_farm.copy(sqlite_template, tmp_path / "farm.db").close()
    with Service(tmp_path, loopback) as service:
        yield service
