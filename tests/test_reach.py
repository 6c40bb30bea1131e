"""What is left out of the run on PostgreSQL cannot open a database."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.reach import ROOT, could_reach_a_store, refuse_stores
from tests.shelves import fresh_shelf


@pytest.mark.parametrize(
    ("text", "reaches"),
    [
        ("from scheduler.verify import verify\nfrom tests.builders import at\n", False),
        ("import api.store\n", True),
        ("from web.app import create_site\n", True),
        ("def inside():\n    from sqlalchemy import text\n", True),
        ("import subprocess\n", True),
        ("from tests.shelves import FRIDAY\n", True),  # by way of a helper
        ("from tests import served\n", True),
        ("patched = 'api.services.people.fits'\n", True),
        ("told = 'api/v1 and /api/v1'\n", False),
    ],
)
def test_what_a_file_imports_tells_whether_it_reaches(tmp_path: Path, text: str, reaches: bool):
    file = tmp_path / "test_it.py"
    file.write_text(text, encoding="utf-8")
    assert could_reach_a_store(file) == reaches


def test_every_test_of_the_service_and_of_the_pages_reaches():
    for folder in ("api", "web", "browser", "bench"):
        for file in (ROOT / "tests" / folder).glob("test_*.py"):
            assert could_reach_a_store(file), file


def test_a_conftest_above_counts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("tests.reach.ROOT", tmp_path)
    folder = tmp_path / "tests" / "new"
    folder.mkdir(parents=True)
    file = folder / "test_it.py"
    file.write_text("", encoding="utf-8")
    assert not could_reach_a_store(file)
    (folder / "conftest.py").write_text("import api.store\n", encoding="utf-8")
    assert could_reach_a_store(file)


def test_the_others_can_open_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    with fresh_shelf(tmp_path) as shelf, monkeypatch.context() as until_the_end:
        refuse_stores(until_the_end)
        with pytest.raises(AssertionError, match="not marked"), shelf.reading() as book:
            book.plans.newest()
        with pytest.raises(AssertionError, match="not marked"), shelf.writing():
            pass
