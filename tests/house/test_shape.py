"""How files read: short, with a purpose said at the top, and nothing that belongs to a workshop or a machine."""

import ast
import re

import pytest

from tests.house.source import ROOT, files, functions, modules

LONGEST_FILE = 350
LONGEST_FUNCTION = 50
# Written in halves, so that this file does not hold what it looks for.
PLACES = [r"(?<!\w)/" + name + "/" for name in ("work", "farm", "tmp", "home", "root")]
MARKS = [r"\b" + "".join(halves) + r"\b" for halves in (("TO", "DO"), ("FIX", "ME"), ("NotImplemented", "Error"))]
WORKSHOP = [r"\b[Ii]ssue [0-9]+\b", r"\b[Tt]his " + "session" + r"\b"]
HOSTS = [r"\bpypi" + r"\.org", "python" + "hosted", "npm" + "js"]
STRAY = re.compile("|".join([*PLACES, *MARKS, *WORKSHOP, *HOSTS]))
WRITTEN = {".py", ".toml", ".md", ".json", ".html", ".css", ".js", ".txt", ".ini", ".mako", ".svg", ""}


def test_a_file_holds_one_concept():
    """One that nears the limit holds a second: find its noun, and give it a file of its own."""
    lengths = {path: len((ROOT / path).read_text("utf-8").splitlines()) for path in modules("core", "service", "tests")}
    assert {f"{path}: {length} lines" for path, length in lengths.items() if length > LONGEST_FILE} == set()


def test_functions_are_short():
    long = {
        f"{path} {node.name}: {node.end_lineno - node.lineno + 1} lines"
        for path, tree in modules("core", "service", "tests").items()
        for node in functions(tree)
        if node.end_lineno - node.lineno + 1 > LONGEST_FUNCTION
    }
    assert long == set()


def test_every_module_says_what_it_holds():
    silent = [str(path) for path, tree in modules("core", "service").items() if not ast.get_docstring(tree)]
    assert silent == []


def test_every_public_function_of_the_farm_says_what_it_gives():
    silent = [
        f"{path} {node.name}"
        for path, tree in modules("core").items()
        for node in functions(tree)
        if not node.name.startswith("_") and not ast.get_docstring(node) and ast.unparse(node.body[0]) != "..."
    ]
    assert silent == []


@pytest.mark.parametrize(
    "line",
    [
        *("see /wo" + "rk/main", "sqlite:////tm" + "p/x.db", "# TO" + "DO: later", "raise NotImplemented" + "Error"),
        *("as issue" + " 7 says", "done in this" + " session", "https://py" + "pi.org/simple"),
    ],
)
def test_a_word_that_does_not_belong_would_be_found(line):
    assert STRAY.search(line)


@pytest.mark.parametrize("line", ["todo el dia", "the farm/tower rows", "a known issue", "service/work/x"])
def test_ordinary_words_are_left_alone(line):
    assert not STRAY.search(line)


def test_nothing_speaks_of_a_workshop_a_machine_or_unfinished_work():
    """Records of published sources are left out: they cite."""
    found = {
        f"{path}:{number}: {line.strip()[:80]}"
        for path in files()
        if path.suffix in WRITTEN and path.name != ".env" and path.parts[:2] != ("fixtures", "published")
        for number, line in enumerate((ROOT / path).read_text("utf-8").splitlines(), 1)
        if STRAY.search(line)
    }
    assert found == set()
