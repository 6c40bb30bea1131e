"""The day sheet and the board's page as PDF, and what is told where that cannot be made."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.answer.posted import posted
from tests.needs import has_pango, lacking
from tests.served import AUGUST, WEEK, Kitchen
from tests.site import entered, with_posted
from web.pages.as_pdf import SETTING
from web.pdf import MISSING, for_setting

BOARD, DAY = f"/board/{WEEK}/pdf", "/day-sheets/2026-08-18/pdf"
SEASON = "/board/season/2026/pdf"


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Kitchen]:
    with with_posted(tmp_path_factory.mktemp("kitchen"), posted(AUGUST)) as found:
        yield found


def sheets(pdf: bytes) -> int:
    """Its pages; they stand in packed streams."""
    packed = re.findall(rb"stream\n(.*?)\nendstream", pdf, re.DOTALL)
    unpacked = b"".join(zlib.decompressobj().decompress(each) for each in packed)
    return len(re.findall(rb"/Type\s*/Page\b", unpacked))


@pytest.mark.parametrize(
    ("role", "path", "most"), [("board", BOARD, 1), ("board", SEASON, 2), ("hand", DAY, 3)]
)
def test_a_page_is_set(kitchen: Kitchen, role: Any, path: str, most: int):
    if not has_pango():
        lacking("needs Pango: apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0")
    answer = entered(kitchen, role).get(path)
    assert answer.headers["content-type"] == "application/pdf"
    assert re.fullmatch(r'inline; filename="[\w-]+\.pdf"', answer.headers["content-disposition"])
    assert answer.headers["cache-control"] == "private, no-cache"
    assert answer.content.startswith(b"%PDF-")
    assert 1 <= sheets(answer.content) <= most


def ended(code: int) -> Any:
    """A process that ends so, without a PDF."""
    return lambda *_, **__: subprocess.CompletedProcess("web.pdf", code, b"", b"why")


@pytest.mark.parametrize(
    ("role", "path", "page"),
    [("board", BOARD, f"/board/{WEEK}"), ("grower", DAY, "/day-sheets/2026-08-18")],
)
def test_without_the_extra_it_says_how_to_install_it(
    kitchen: Kitchen, monkeypatch: pytest.MonkeyPatch, role: Any, path: str, page: str
):
    monkeypatch.setattr(subprocess, "run", ended(MISSING))
    answer = entered(kitchen, role).get(path)
    assert answer.status_code == 501
    assert "pip install -q -c .ci/constraints.txt &#39;.[report]&#39;" in answer.text
    assert f'href="{page}"' in answer.text


def test_another_fault_is_not_told_as_a_missing_extra(
    kitchen: Kitchen, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(subprocess, "run", ended(1))
    answer = entered(kitchen, "board").get(BOARD)
    assert answer.status_code == 500
    assert "pip install" not in answer.text


def test_where_it_cannot_be_loaded_it_ends_as_missing(tmp_path: Path):
    (tmp_path / "weasyprint.py").write_text("raise ImportError('not here')")
    environment = os.environ | {"PYTHONPATH": os.pathsep.join([str(tmp_path), *sys.path])}
    done = subprocess.run(SETTING, input=b"", capture_output=True, check=False, env=environment)
    assert done.returncode == MISSING


@pytest.mark.parametrize(("role", "path"), [("hand", BOARD), ("board", DAY), ("on_call", DAY)])
def test_who_may_not_read_the_page_has_no_pdf(kitchen: Kitchen, role: Any, path: str):
    assert entered(kitchen, role).get(path).status_code == 403


@pytest.mark.parametrize(
    ("role", "page"), [("board", f"/board/{WEEK}"), ("hand", "/day-sheets/2026-08-18")]
)
def test_the_page_leads_to_it(kitchen: Kitchen, role: Any, page: str):
    assert f'href="{page}/pdf"' in entered(kitchen, role).get(page).text


def test_nothing_from_outside_is_set_and_drawings_are_whole():
    page = (
        '<link rel="stylesheet" href="http://elsewhere/x.css"><script src="/y.js"></script>'
        '<svg class="defs"><defs><pattern id="dots"/></defs></svg><svg viewBox="0 0 1 1"></svg>'
    )
    found = for_setting(page)
    assert "elsewhere" not in found
    assert "script" not in found
    assert found.count('<pattern id="dots"/>') == 1 + 2  # as it stood, and once in each drawing


def test_the_extra_of_the_message_is_the_one_of_the_project():
    project = (Path(__file__).parents[2] / "pyproject.toml").read_text()
    assert 'report = ["weasyprint"]' in project
