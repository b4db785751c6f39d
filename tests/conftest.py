"""What all tests share: the demo farm, loaded once and copied for whoever writes in it."""

import pytest

from tests import demo_farm


@pytest.fixture(scope="session")
def demo_template(tmp_path_factory):
    file = tmp_path_factory.mktemp("demo") / "template.db"
    demo_farm.make(file)
    return file


@pytest.fixture
def demo_books(demo_template, tmp_path):
    books = demo_farm.copy(demo_template, tmp_path / "farm.db")
    yield books
    books.close()
