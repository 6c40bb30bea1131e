"""Which tests could reach a database, told from what they import; the others are held to it."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NoReturn

import pytest

ROOT = Path(__file__).parents[1]
# The service and the pages, the libraries of the store, and whatever starts or loads by name:
# a command of ours in a process of its own may open the book.
STORES = {"api", "web", "sqlalchemy", "alembic", "psycopg", "sqlite3"}
BY_NAME = {"subprocess", "importlib", "runpy"}
DOTTED = re.compile(rf"({'|'.join(sorted(STORES))})\.\w")


def could_reach_a_store(test_file: Path) -> bool:
    """Of a file of tests: it, what it uses of tests/, or a conftest above it could open one.

    scheduler/ is not followed: an import contract says that it imports neither api nor SQLAlchemy.
    """
    folders = [folder for folder in test_file.parents if (ROOT / "tests") in folder.parents]
    conftests = [folder / "conftest.py" for folder in folders]
    seen: set[Path] = set()
    waiting = [test_file, *(each for each in conftests if each.exists())]
    while waiting:
        file = waiting.pop()
        if file in seen:
            continue
        seen.add(file)
        names = _names(file)
        if any(name.partition(".")[0] in STORES | BY_NAME for name in names):
            return True
        waiting += [found for name in names for found in _ours(name)]
    return False


@cache
def _names(file: Path) -> frozenset[str]:
    """The modules that a file imports anywhere in it, or names in a string."""
    return frozenset(
        name for node in ast.walk(ast.parse(file.read_bytes())) for name in _named(node)
    )


def _named(node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.Import):
        yield from (each.name for each in node.names)
    elif isinstance(node, ast.ImportFrom):
        yield node.module or ""
        yield from (f"{node.module}.{each.name}" for each in node.names)
    elif isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield from (match[0] for match in [DOTTED.match(node.value)] if match)


def _ours(name: str) -> Iterator[Path]:
    """The file of tests/ that a module is."""
    if name.startswith("tests."):
        file = ROOT.joinpath(*name.split(".")).with_suffix(".py")
        if file.exists():
            yield file


def refuse_stores(monkeypatch: pytest.MonkeyPatch) -> None:
    """No database can be opened in this process until the test ends."""

    def refused(*_: object, **__: object) -> NoReturn:
        raise AssertionError("a test that is not marked `store` has opened a database")

    monkeypatch.setattr("sqlalchemy.Engine.connect", refused)
