"""What the tests of the board share: the demo farm's service, and browsers that speak to it over HTTP."""

from shutil import copyfile

import pytest
from fastapi.testclient import TestClient

from tests.board_door import WALT, sign_in
from tests.browser.farm import open_demo, serve


@pytest.fixture(scope="session")
def wednesday(tmp_path_factory):
    """The demo farm on a Wednesday morning, loaded once."""
    file = tmp_path_factory.mktemp("board") / "template.db"
    app = open_demo(f"sqlite:///{file}")
    with app.state.books.engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    app.state.books.close()
    return file


@pytest.fixture
def app(wednesday, tmp_path):
    copyfile(wednesday, tmp_path / "farm.db")
    return serve(f"sqlite:///{tmp_path}/farm.db")


@pytest.fixture
def browser(app):
    """Nobody's yet."""
    with TestClient(app) as client:
        yield client


@pytest.fixture
def priya(app, browser):
    """A coordinator, signed in."""
    return sign_in(app, browser)


@pytest.fixture
def walt(app, browser):
    """A lead, signed in with another browser."""
    return sign_in(app, TestClient(app), WALT)
