"""The day sheet and the board's page as PDF, and what is told where that cannot be made."""

from __future__ import annotations

import re
import subprocess
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.answer.posted import posted
from tests.served import AUGUST, WEEK, Kitchen, opened
from tests.site import KEY, entered
from web.app import create_site
from web.pdf import for_setting

BOARD, DAY = f"/board/{WEEK}/pdf", "/day-sheets/2026-08-18/pdf"


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Kitchen]:
    with opened(tmp_path_factory.mktemp("kitchen"), create_site, key=KEY) as found:
        number = found.laid_out(posted(AUGUST))
        found.by["manager"].post(f"/api/v1/weeks/{WEEK}/post", {"plan": number})
        yield found


def sheets(pdf: bytes) -> int:
    """Its pages; they stand in packed streams."""
    packed = re.findall(rb"stream\n(.*?)\nendstream", pdf, re.DOTALL)
    unpacked = b"".join(zlib.decompressobj().decompress(each) for each in packed)
    return len(re.findall(rb"/Type\s*/Page\b", unpacked))


@pytest.mark.parametrize(("role", "path", "most"), [("board", BOARD, 1), ("hand", DAY, 3)])
def test_a_page_is_set(kitchen: Kitchen, role: Any, path: str, most: int):
    answer = entered(kitchen, role).get(path)
    if answer.status_code == 501:  # the libraries are the system's, not pip's
        pytest.skip("needs Pango: apt-get install libpango-1.0-0 libpangoft2-1.0-0")
    assert answer.headers["content-type"] == "application/pdf"
    assert re.fullmatch(r'inline; filename="[\w-]+\.pdf"', answer.headers["content-disposition"])
    assert answer.headers["cache-control"] == "private, no-cache"
    assert answer.content.startswith(b"%PDF-")
    assert 1 <= sheets(answer.content) <= most


def broken(*args: Any, **how: Any) -> Any:
    raise subprocess.CalledProcessError(1, "web.pdf", stderr=b"No module named 'weasyprint'")


@pytest.mark.parametrize(
    ("role", "path", "page"),
    [("board", BOARD, f"/board/{WEEK}"), ("grower", DAY, "/day-sheets/2026-08-18")],
)
def test_without_the_extra_it_says_how_to_install_it(
    kitchen: Kitchen, monkeypatch: pytest.MonkeyPatch, role: Any, path: str, page: str
):
    monkeypatch.setattr(subprocess, "run", broken)
    answer = entered(kitchen, role).get(path)
    assert answer.status_code == 501
    assert "pip install -q -c .ci/constraints.txt &#39;.[report]&#39;" in answer.text
    assert f'href="{page}"' in answer.text


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
