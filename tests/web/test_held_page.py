"""A held lot on its page: hours more, one press back to a dryer, the record, the grower's text."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from api.services.dry_checks import Check, dry_check
from api.services.lots import lot
from scheduler.domain.plan import Plan
from scheduler.process.dry_check import Reading
from tests.asking import Asking
from tests.book import HAND, doing
from tests.dried import monday, out_of_the_dryer
from tests.served import Kitchen
from tests.site import entered, send, with_posted
from tests.web.test_dry_check import words

WET = tuple(Reading(rack, 0.62, 14.0) for rack in (1, 9, 18))
SAID = {
    "what_happened": "rack 18 over the limit", "cause": "slices on each other",
    "product": "back to a dryer", "done_by": "Sal Orrin", "verified_by": "Lotte Amberry",
}  # fmt: skip


@pytest.fixture
def kitchen(tmp_path: Path, plan: Plan) -> Iterator[Kitchen]:
    with with_posted(tmp_path, plan, at=monday("18:40")) as found:
        yield found


@pytest.fixture
def path(kitchen: Kitchen) -> str:
    code, run = out_of_the_dryer(kitchen)
    holds(kitchen, code, monday("18:40"))
    return f"/dry-checks/{code}/{run}/held"


def holds(kitchen: Kitchen, code: str, at: Any) -> None:
    with kitchen.shelf.writing() as book:
        who = doing(HAND, at)
        check = Check(WET, "hold", "Lotte Amberry")
        dry_check(book, who, code, version=lot(book, who, code).version, check=check)


@pytest.fixture
def sal(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "hand")


def texts(kitchen: Kitchen) -> list[str]:
    with kitchen.shelf.reading() as book:
        return [each.text for each in book.messages.where(grower_id="G12")]


def test_it_says_how_long_and_where(sal: Asking, path: str):
    told = words(sal.get(path).text)
    assert "From its worst readings it needs about" in told
    assert "more at 50 °C" in told
    assert "not to D4: it does not take this group" in told
    assert "Back to dryer D2" in told
    assert f'href="{path}"' in sal.get(path.removesuffix("/held")).text


def test_one_press_sends_it_back_and_its_grower_hears_it(sal: Asking, path: str, kitchen: Kitchen):
    answer = send(sal, path, {"dryer": "D2"}, form=f"{path}/back")
    assert (answer.status_code, answer.headers["location"]) == (303, path)
    page = words(sal.get(path).text)
    assert "Its packing turn stays; its grower is told." in page
    assert "not dry enough yet at its dry check; it dries on until about" in texts(kitchen)[-1]
    readings = words(sal.get(path.removesuffix("/held")).text)
    assert "Its racks dry on in D2 since Mon 17 Aug, 18:40" in readings
    assert "Keep the decision" not in readings


def test_the_record_tells_what_is_missing_and_keeps_what_was_written(sal: Asking, path: str):
    part = {"what_happened": SAID["what_happened"], "do": "close"}
    refused = send(sal, path, part, form=f"{path}/record")
    assert refused.status_code == 422
    assert 'id="cause-fault">must be filled in before the record is closed' in refused.text
    assert SAID["what_happened"] in refused.text
    kept = send(sal, path, part | {"do": "keep"}, form=f"{path}/record")
    assert kept.status_code == 303
    assert SAID["what_happened"] in sal.get(path).text
    early = send(sal, path, SAID | {"do": "close"}, form=f"{path}/record")
    assert early.status_code == 409
    assert "is held still" in early.text
    send(sal, path, {"dryer": "D2"}, form=f"{path}/back")
    assert send(sal, path, SAID | {"do": "close"}, form=f"{path}/record").status_code == 303
    told = words(sal.get(path).text)
    assert "Closed Mon 17 Aug" in told
    assert "slices on each other" in told


def test_after_a_second_failure_only_the_manager_has_the_buttons(
    sal: Asking, path: str, kitchen: Kitchen
):
    code = path.split("/")[2]
    holds(kitchen, code, monday("18:45"))
    page = sal.get(path).text
    assert "It failed a second dry check: the manager decides." in words(page)
    assert f'action="{path}/back"' not in page
    assert 'href="tel:' in page
    lotte = entered(kitchen, "manager")
    assert f'action="{path}/back"' in lotte.get(path).text
    gone = send(lotte, path, {"why": "mould"}, form=f"{path}/discard")
    assert gone.status_code == 303
    assert "Discarded. Its grower is told." in words(lotte.get(path).text)
    assert "discarded after its dry check" in texts(kitchen)[-1]


def test_in_spanish(sal: Asking, path: str):
    page = words(sal.get(path, headers={"Accept-Language": "es"}).text)
    assert "Según sus peores lecturas necesita unas" in page
    for english in ("Corrective", "Back to", "not to"):
        assert english not in page


def test_over_http(kitchen: Kitchen, path: str):
    sal, code = kitchen.by["hand"], path.split("/")[2]
    (found,) = sal.get("/api/v1/held").json()
    assert found["lot"]["code"] == code
    assert found["hours"][0] < found["hours"][1] <= found["proposed_hours"]
    assert {way["dryer_id"] for way in found["ways"] if not way["why"]} >= {"D2"}
    one = f"/api/v1/held/{code}"
    assert sal.get(one).json() == found
    seen = {"If-Match": f'"{found["lot"]["version"]}"'}
    refused = sal.post(f"{one}/back-to-dryer", {"dryer_id": "D4"}, headers=seen)
    assert (refused.status_code, "rule 6" in refused.json()["detail"]) == (409, True)
    done = sal.post(f"{one}/back-to-dryer", {"dryer_id": "D2", "hours": 15}, headers=seen)
    assert done.status_code == 201, done.text
    assert done.json()["packing"]["became"] == "moved"
    assert done.json()["lot"]["state"] == "back to dryer"
    where = f"/api/v1/corrective-actions/{found['corrective_action']}"
    missing = sal.post(where, {"close": True})
    assert missing.status_code == 422
    assert "verified_by" in json.dumps(missing.json())
    closed = sal.post(where, SAID | {"close": True})
    assert closed.json()["missing"] == []
    assert sal.get("/api/v1/corrective-actions").json() == []
    assert len(sal.get("/api/v1/corrective-actions?every=true").json()) == 1
    assert sal.get(one).status_code == 409
