"""The project's own files, as the tests of the house read them."""

import ast
from pathlib import Path

ROOT = Path(__file__).parents[2]
SKIPPED = {"__pycache__", ".git", ".venv", "data", "build", "output", ".hypothesis"}


def files(*tops, suffix=""):
    """Every file under some of the project's folders (or all of it), as paths from its root."""
    found = (path for top in tops or [""] for path in (ROOT / top).rglob(f"*{suffix}"))
    own = (path.relative_to(ROOT) for path in found if path.is_file())
    return sorted(
        path
        for path in own
        if not any(part in SKIPPED or part.endswith(("_cache", ".egg-info")) for part in path.parts)
    )


def modules(*tops):
    """Python modules: path -> syntax tree. Migrations are left out: they are written by a tool."""
    paths = [path for path in files(*tops, suffix=".py") if "migrations" not in path.parts]
    return {path: ast.parse((ROOT / path).read_text("utf-8")) for path in paths}


def imported(tree):
    """The full names of the modules a module imports, and of what it takes from them."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module
            yield from (f"{node.module}.{name.name}" for name in node.names)


def importers(allowed, *forbidden, tops):
    """Each module that imports one of the forbidden packages without being in one of the allowed places."""
    return {
        f"{path} imports {name}"
        for path, tree in modules(*tops).items()
        if not str(path).startswith(tuple(allowed))
        for name in imported(tree)
        if any(name == package or name.startswith(f"{package}.") for package in forbidden)
    }


def functions(tree):
    """All functions and methods of a module."""
    return [node for node in ast.walk(tree) if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef))]
