"""What tests of the service start from."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from scheduler.domain.plan import Plan
from tests.answer.posted import posted
from tests.served import AUGUST, Kitchen, opened


@pytest.fixture
def kitchen(tmp_path: Path) -> Iterator[Kitchen]:
    with opened(tmp_path) as found:
        yield found


@pytest.fixture(scope="module")
def plan() -> Plan:
    return posted(AUGUST)
