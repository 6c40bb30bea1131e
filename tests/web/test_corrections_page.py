"""A weight written by mistake is corrected from the lot card; both entries stay there."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from scheduler.domain.plan import Plan
from tests.dried import monday
from tests.served import Kitchen
from tests.site import entered, send, with_posted
from tests.web.test_dry_check import words


@pytest.fixture
def kitchen(tmp_path: Path, plan: Plan) -> Iterator[Kitchen]:
    with with_posted(tmp_path, plan, at=monday("08:05")) as found:
        yield found


def test_a_weight_is_corrected_with_a_reason(kitchen: Kitchen):
    sal, cook = entered(kitchen, "hand"), kitchen.by["hand"]
    code = cook.post("/api/v1/lots", {"note_id": "R03", "weighed_kg": 53}).json()["code"]
    path = f"/lot-card/{code}"
    assert f'href="{path}/correct"' in sal.get(path).text
    refused = send(sal, f"{path}/correct", {"weight": "35"})
    assert (refused.status_code, 'id="why-fault">must be filled in' in refused.text) == (422, True)
    done = send(sal, f"{path}/correct", {"weight": "35", "why": "two digits changed places"})
    assert (done.status_code, done.headers["location"]) == (303, path)
    told = words(sal.get(path).text)
    assert "53 kg, told as 35 kg" in told
    assert "35 kg, told as 35 kg. Corrected: two digits changed places" in told
    assert entered(kitchen, "board").get(f"{path}/correct").status_code == 403
    lot = cook.get(f"/api/v1/lots/{code}")
    seen = {"If-Match": lot.headers["etag"]}
    body = {"weighed_kg": 34.5, "why": "once more"}
    again = cook.post(f"/api/v1/lots/{code}/corrections", body, headers=seen)
    assert (again.status_code, again.json()["weighed_kg"]) == (200, 34.5)
