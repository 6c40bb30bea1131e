"""A folder of scenario files that a test may spoil."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

SCENARIOS = Path(__file__).parents[2] / "scenarios"
Spoil = Callable[[str, str, str], None]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of dryer_down, the one scenario that has every file."""
    return Path(shutil.copytree(SCENARIOS / "dryer_down", tmp_path / "week"))


@pytest.fixture
def spoil(folder: Path) -> Spoil:
    """Replace one stretch of text, which must be there, in one file of the folder."""

    def replace(file: str, old: str, new: str) -> None:
        text = (folder / file).read_text(encoding="utf-8")
        assert old in text
        (folder / file).write_text(text.replace(old, new, 1), encoding="utf-8")

    return replace
