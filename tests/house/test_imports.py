"""Arrows run one way: service to core, rules to no database, understanding to plain types only."""

import ast
import sys

from tests.house.source import imported, importers, modules

DATABASE = ("sqlmodel", "sqlalchemy", "alembic")
OUTSIDE = ("fastapi", "starlette", "uvicorn", "twilio", "apscheduler", "httpx", "click", "jinja2")
CLOCKS = ("datetime.now", "datetime.utcnow", "datetime.today", "date.today", "time.time")


def test_the_farm_knows_nothing_of_phones_web_or_command_line():
    assert importers((), "service", *OUTSIDE, tops=("core",)) == set()


def test_in_the_farm_only_books_and_acts_touch_the_database():
    assert importers(("core/books/", "core/acts/"), *DATABASE, "core.books", "core.acts", tops=("core",)) == set()


def test_the_books_know_nothing_of_acts():
    assert importers(("core/acts/",), "core.acts", tops=("core",)) == set()


def test_understanding_needs_only_notes_words_and_a_matcher():
    own = ("core.notes", "core.vocabulary", "service.understanding", "rapidfuzz", "phonenumbers")
    beyond = {
        f"{path} imports {name}"
        for path, tree in modules("service/understanding").items()
        for name in imported(tree)
        if name.split(".")[0] not in sys.stdlib_module_names
        and not any(name == package or name.startswith(f"{package}.") for package in own)
        and name not in ("core", "service")
    }
    assert beyond == set()


def test_carriers_are_reached_only_through_what_comes_in_and_goes_out():
    """One carrier's own module is named only where the service is put together."""
    doors = ("service/carriers/", "service/outbox", "service/inbox", "service/practice/", "service/app.py")
    doors += ("service/arrivals.py", "service/line.py", "service/clockwork.py", "service/reconcile.py")
    doors += ("service/photos/fetching.py",)
    assert importers((*doors, "service/cli"), "service.carriers", tops=("service",)) == set()
    own = ("service/carriers/", "service/app.py", "service/cli")
    assert importers(own, "service.carriers.twilio", "service.carriers.practice", tops=("service",)) == set()


def test_nobody_asks_the_clock_below_the_edge():
    """What time it is comes in with the webhook, the tick or the command, and is handed down."""
    edge = (
        "service/app.py",
        "service/cli",
        "service/clockwork",
        "service/ticking.py",
        "service/carriers/routes.py",
        "service/practice/routes.py",
    )
    asking = {
        f"{path} line {node.lineno}"
        for path, tree in modules("core", "service").items()
        if not str(path).startswith(edge)
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute) and ast.unparse(node) in CLOCKS
    }
    assert asking == set()
