"""The Chromium of this machine, and how it is started without talking to anybody."""

import shutil

NAMES = ("chromium", "chromium-browser", "google-chrome")
QUIET = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
)


def find():
    """Where it is; None where there is none in the PATH."""
    return next(filter(None, map(shutil.which, NAMES)), None)
