"""What the tests in the browser share: a Chromium, the demo farm served on the loopback, and pages of it."""

from pathlib import Path

import pytest

from tests.board_door import cookie_of
from tests.browser.chromium import NAMES, QUIET, find
from tests.browser.farm import PRIYA, open_demo, served

OUTPUT = Path(__file__).parents[1] / "output"


def pytest_collection_modifyitems(items):
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def chromium():
    path = find()
    if path is None:
        pytest.skip(f"no Chromium in the PATH (looked for {', '.join(NAMES)})")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(QUIET))
        yield browser
        browser.close()


@pytest.fixture
def app(tmp_path):
    return open_demo(f"sqlite:///{tmp_path}/farm.db")


@pytest.fixture
def address(app):
    with served(app) as address:
        yield address


@pytest.fixture
def open_page(chromium, address):
    """Opens a page as somebody; the test fails on anything the browser complains of, but for what the test `bears`."""
    complaints, contexts = [], []

    def opened(who="walt", bears=None, **options):
        def complain(words):
            if bears is None or bears not in words:
                complaints.append(words)

        context = chromium.new_context(**{"viewport": {"width": 1440, "height": 900}} | options)
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(10_000)
        page.on("console", lambda said: complain(said.text) if said.type == "error" else None)
        page.on("pageerror", lambda error: complain(str(error)))
        page.goto(f"{address}/practice?as={who}")
        return page

    yield opened
    for context in contexts:
        context.close()
    assert complaints == []


@pytest.fixture
def open_board(app, chromium, address):
    """Opens a page of the board as a coordinator; the test fails on anything the browser complains of."""
    complaints, contexts, cookies = [], [], {}

    def opened(path="/board", language="en", phone=PRIYA, **options):
        if (phone, language) not in cookies:
            cookies[phone, language] = cookie_of(app, address, phone, language)
        context = chromium.new_context(**{"viewport": {"width": 1440, "height": 900}} | options)
        contexts.append(context)
        context.add_cookies([cookies[phone, language]])
        page = context.new_page()
        page.set_default_timeout(15_000)
        page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.goto(f"{address}{path}")
        return page

    yield opened
    for context in contexts:
        context.close()
    assert complaints == []


@pytest.fixture
def picture(request):
    """Keeps what a page looks like, for people to look at."""

    def keep(page, name, of="practice-"):
        OUTPUT.mkdir(exist_ok=True)
        page.screenshot(path=OUTPUT / f"{of}{name}.png", full_page=True)

    return keep
