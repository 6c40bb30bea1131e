"""What most tests of pages stand on."""

from __future__ import annotations

import pytest

from scheduler.domain.plan import Plan
from tests.answer.posted import posted
from tests.served import AUGUST


@pytest.fixture(scope="session")
def plan() -> Plan:
    """August as it is posted."""
    return posted(AUGUST)
