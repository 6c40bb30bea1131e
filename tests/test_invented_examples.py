"""Invented examples are new each time by hand, the same in CI, and timed in neither."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.reach import ROOT

TOLD = (
    "import tests.conftest; from hypothesis import settings;"
    " print(settings.default.deadline, settings.default.derandomize)"
)


@pytest.mark.parametrize(
    ("machine", "told"), [({}, "None False"), ({"CI": "true"}, "None True")], ids=["hand", "CI"]
)
def test_none_is_timed_and_in_ci_they_are_the_same(machine: dict[str, str], told: str):
    ran = subprocess.run(
        [sys.executable, "-c", TOLD],
        env={"PYTHONPATH": str(ROOT), **machine},
        capture_output=True,
        text=True,
        check=True,
    )
    assert ran.stdout.strip() == told
