"""What a test needs of the machine: without it the test is left out, but never in CI."""

from __future__ import annotations

import os
from ctypes.util import find_library
from typing import NoReturn

import pytest


def lacking(what: str) -> NoReturn:
    """Leave the test out, telling what is needed; in CI it fails."""
    if os.environ.get("CI") == "true":
        pytest.fail(f"CI must have it: {what}")
    pytest.skip(what)


def has_pango() -> bool:
    """Whether a PDF can be set here: the system's library, not pip's."""
    return find_library("pangoft2-1.0") is not None
