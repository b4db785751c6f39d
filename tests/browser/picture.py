"""Takes the picture of the README: a short exchange on the practice phone. Run: `python -m tests.browser.picture`."""

import tempfile
from pathlib import Path

from playwright.sync_api import expect, sync_playwright

from tests.browser.chromium import QUIET, find
from tests.browser.farm import open_demo, served

PICTURE = Path(__file__).parents[2] / "fixtures" / "pictures" / "practice-phone.png"
SAID = ("picked 14 romaine from B1 and B2, 2 culled", "what do i do")


def exchange(page):
    """Walt's texts, each with its answer."""
    for words in SAID:
        before = page.locator(".line.farm").count()
        page.locator("textarea").fill(words)
        page.keyboard.press("Enter")
        expect(page.locator(".line.farm")).not_to_have_count(before)
    page.locator("details").evaluate("examples => { examples.open = false; }")


def main():
    PICTURE.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        app = open_demo(f"sqlite:///{folder}/farm.db")
        with served(app) as address:
            browser = playwright.chromium.launch(executable_path=find(), args=list(QUIET))
            page = browser.new_page(viewport={"width": 720, "height": 600}, device_scale_factor=2)
            page.goto(f"{address}/practice?as=walt")
            exchange(page)
            page.screenshot(path=PICTURE, full_page=True)
            browser.close()


if __name__ == "__main__":
    main()
