"""Dry check on its page: readings a rack, the worst decides, the person named holds or passes."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta
from html import unescape
from pathlib import Path

import pytest

from api.records.people import Role
from scheduler.day_sheet import day_sheet
from scheduler.domain.plan import Plan
from tests.asking import Asking
from tests.dried import monday, out_of_the_dryer
from tests.served import AUGUST, Kitchen
from tests.site import HOME, entered, send, with_posted

LIST = "/dry-checks"
FINE, AT_MOST = ("0,50", "9"), ("0.54", "10")
WET, MOIST = ("0.541", "9"), ("0.5", "10.1")


@pytest.fixture
def kitchen(tmp_path: Path, plan: Plan) -> Iterator[Kitchen]:
    with with_posted(tmp_path, plan, at=monday("19:30")) as found:
        yield found


@pytest.fixture
def path(kitchen: Kitchen) -> str:
    code, run = out_of_the_dryer(kitchen)
    return f"{LIST}/{code}/{run}"


@pytest.fixture
def sal(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "hand")


def words(page: str) -> str:
    return unescape(" ".join(re.sub("<[^>]+>", " ", page).split()))


def sampled(plan: Plan) -> tuple[int, ...]:
    """As the day sheet has them."""
    days = (day_sheet(AUGUST, plan, AUGUST.week.monday + timedelta(days=n)) for n in range(8))
    return next(
        line.sample_racks
        for sheet in days
        for line in sheet.lines
        if line.act == "dry check" and line.lots[0].code == "R03"
    )


def readings(plan: Plan, *worst: tuple[str, str]) -> dict[str, str]:
    """Every rack fine but for the last ones; decided by Lotte, as far as it is."""
    racks = sampled(plan)
    said = [FINE] * (len(racks) - len(worst)) + list(worst)
    return {"decided_by": "Lotte Amberry"} | {
        f"{name}-{rack}": value
        for rack, pair in zip(racks, said, strict=True)
        for name, value in zip(("activity", "moisture"), pair, strict=True)
    }


def state(sal: Asking, path: str) -> str:
    return str(sal.get(f"/api/v1/lots/{path.split('/')[2]}").json()["state"])


@pytest.mark.parametrize(
    ("role", "status"),
    [("manager", 200), ("hand", 200), ("grower", 403), ("board", 403), ("on_call", 403)],
)
def test_whose_pages_they_are(kitchen: Kitchen, path: str, role: Role, status: int):
    asker = entered(kitchen, role)
    assert asker.get(LIST).status_code == asker.get(path).status_code == status
    sent = asker.ask("POST", path, data={"decision": "hold"}, headers=HOME)
    assert sent.status_code == (422 if status == 200 else 403)


def test_what_is_due_is_listed_until_it_is_passed(sal: Asking, kitchen: Kitchen, plan: Plan):
    assert "No dry check is due." in sal.get(LIST).text
    code, run = out_of_the_dryer(kitchen)
    page = sal.get(LIST).text
    assert f'href="{LIST}/{code}/{run}"' in page
    assert "D2, unloaded Mon" in words(page)
    send(sal, f"{LIST}/{code}/{run}", readings(plan, WET) | {"decision": "hold"})
    assert "D2, held, unloaded Mon" in words(sal.get(LIST).text)
    send(sal, f"{LIST}/{code}/{run}", readings(plan) | {"decision": "pass"})
    assert "No dry check is due." in sal.get(LIST).text


def test_the_racks_are_those_of_the_day_sheet_with_the_cards_limits(
    sal: Asking, path: str, plan: Plan
):
    page = sal.get(path).text
    asked = re.findall(r'<input[^>]* name="activity-(\w+)"', page)
    assert asked == [*map(str, sampled(plan)), "other"]
    told = words(page)
    assert "water activity at most 0.54" in told
    assert "moisture at most 10 %" in told
    assert "Let samples cool closed before reading" in told
    assert "It does not make food safe." in told
    assert "a licensed person decides release" in told


@pytest.mark.parametrize(
    ("worst", "over"),
    [
        (AT_MOST, ""),
        (WET, "Highest water activity: rack %s, 0.541 (at most 0.54)"),
        (MOIST, "Highest moisture: rack %s, 10.1 % (at most 10 %)"),
    ],
)
def test_counted_at_once_and_nothing_kept(
    sal: Asking, path: str, plan: Plan, worst: tuple[str, str], over: str
):
    page = send(sal, path, readings(plan, worst) | {"do": "count"})
    assert page.status_code == 200
    told = words(page.text)
    assert ("The readings speak for holding it" in told) == bool(over)
    assert ("Within the card's limits" in told) != bool(over)
    found = [words(each) for each in re.findall(r'<strong class="fault">.*?</strong>', page.text)]
    assert found == ([over.replace("%s", str(sampled(plan)[-1]))] if over else [])
    assert f'value="{worst[0]}"' in page.text
    assert state(sal, path) == "off racks"


def test_too_few_racks_speak_for_holding(sal: Asking, path: str, plan: Plan):
    first = f"-{sampled(plan)[0]}"
    few = {name: value for name, value in readings(plan).items() if name.endswith(first)}
    told = words(send(sal, path, few | {"do": "count"}).text)
    assert f"Racks read: 1, wanted: {len(sampled(plan))}" in told
    assert "The readings speak for holding it" in told


def test_held_is_told_with_what_is_next_here_and_on_the_day(sal: Asking, path: str, plan: Plan):
    said = readings(plan, WET) | {"decision": "hold"}
    answer = send(sal, path, said)
    assert (answer.status_code, answer.headers["location"]) == (303, path)
    told = words(sal.get(path).text)
    assert "Held by Lotte Amberry, Mon" in told
    assert "Do not pack it." in told
    assert "back to a dryer, another reading, or discarded" in told
    assert state(sal, path) == "held"
    day = words(sal.get("/tick-off/2026-08-18").text)
    assert f"Held after their dry check: {path.split('/')[2]}" in day
    assert "Held by Lotte Amberry" in day
    assert "0 of 52 done" in day  # somebody must still decide
    assert "Held after its dry check: do not pack it." in words(sal.get(packed_on(plan)).text)


def packed_on(plan: Plan) -> str:
    charge = next(each for _, each in plan.charges() if each.note_id == "R03")
    assert charge.after
    day: date = charge.after.packing.start.astimezone(AUGUST.kitchen.zone).date()
    return f"/tick-off/{day}"


def test_passed_by_the_person_named_and_packed(sal: Asking, path: str, plan: Plan):
    said = readings(plan, AT_MOST) | {"decision": "pass"}
    assert send(sal, path, said).status_code == 303
    told = words(sal.get(path).text)
    assert "Passed by Lotte Amberry, Mon" in told
    assert "It can be packed: by" in told
    assert " safe" not in told.replace("It does not make food safe.", "")
    assert state(sal, path) == "passed"
    where = packed_on(plan)
    packed = send(sal, where, {"key": "pack R03 P1", "bags": "66"})
    assert packed.status_code == 303
    assert state(sal, path) == "packed"
    assert "66 bags" in words(sal.get(where).text)


def test_nobody_passes_what_the_readings_hold(sal: Asking, path: str, plan: Plan):
    said = readings(plan, WET) | {"decision": "pass"}
    answer = send(sal, path, said)
    assert answer.status_code == 422
    assert "cannot be to pass: the readings speak for holding it" in answer.text
    assert "The readings speak for holding it" in answer.text
    assert state(sal, path) == "off racks"


def test_what_reads_fine_may_be_held_all_the_same(sal: Asking, path: str, plan: Plan):
    assert send(sal, path, readings(plan) | {"decision": "hold"}).status_code == 303
    assert state(sal, path) == "held"


def test_one_more_rack_counts_like_the_others(sal: Asking, path: str, plan: Plan):
    more = {"rack-other": "17", "activity-other": "0.6", "moisture-other": "9"}
    told = words(send(sal, path, readings(plan) | more | {"do": "count"}).text)
    assert "Highest water activity: rack 17, 0.6 (at most 0.54)" in told


def test_a_rack_that_is_not_its_own_is_told_at_its_field(sal: Asking, path: str, plan: Plan):
    other = {"rack-other": "99", "activity-other": "0.5", "moisture-other": "9"}
    answer = send(sal, path, readings(plan) | other | {"do": "count"})
    assert answer.status_code == 422
    assert 'id="rack-other-fault">its racks are 1 to 18' in answer.text


@pytest.mark.parametrize(
    ("said", "field", "fault"),
    [
        ({"activity": "1.2"}, "activity", "must be at most 1"),
        ({"activity": "wet"}, "activity", "must be a number"),
        ({"activity": ""}, "activity", "must be filled in"),
        ({"moisture": "101"}, "moisture", "must be at most 100"),
        ({"decided_by": ""}, "decided_by", "must be filled in"),
        ({"decision": ""}, "decision", "must be chosen"),
    ],
)
def test_faults_are_told_at_their_field(
    sal: Asking, path: str, plan: Plan, said: dict[str, str], field: str, fault: str
):
    rack = str(sampled(plan)[0])
    of_rack = field in ("activity", "moisture")
    name = f"{field}-{rack}" if of_rack else field
    changed = {f"{each}-{rack}" if of_rack else each: value for each, value in said.items()}
    answer = send(sal, path, readings(plan) | {"decision": "pass"} | changed)
    assert answer.status_code == 422
    assert f'id="{name}-fault">{fault}' in answer.text
    assert state(sal, path) == "off racks"


def test_without_a_reading_nothing_is_counted(sal: Asking, path: str):
    answer = send(sal, path, {"do": "count"})
    assert (answer.status_code, "at least one rack must be read" in answer.text) == (422, True)


def test_somebody_else_was_quicker(sal: Asking, path: str, plan: Plan):
    page = sal.get(path).text
    version = re.search(r'name="version" value="(\d+)"', page)
    assert version
    send(sal, path, readings(plan) | {"decision": "hold"})
    late = readings(plan) | {"decision": "pass", "version": version[1]}
    answer = sal.ask("POST", path, data=late, headers=HOME)
    assert answer.status_code == 412
    assert state(sal, path) == "held"
    assert "Somebody else has decided meanwhile." in answer.text
    assert "Held by Lotte Amberry" in words(answer.text)
    assert answer.text.count(f'value="{FINE[0]}"') == len(sampled(plan))  # nothing is lost
    fresh = re.search(r'name="version" value="(\d+)"', answer.text)
    assert fresh
    kept = sal.ask("POST", path, data=late | {"version": fresh[1]}, headers=HOME)
    assert (kept.status_code, state(sal, path)) == (303, "passed")


def test_before_it_is_unloaded_there_is_nothing_to_read(sal: Asking, path: str):
    other = sal.get(f"{path}9")
    assert other.status_code == 409
    assert "is on record as unloaded" in other.text
    assert sal.get(f"{LIST}/nothing/1").status_code == 404


def test_kept_once_however_often_it_is_sent(sal: Asking, kitchen: Kitchen, path: str, plan: Plan):
    said = readings(plan) | {"decision": "pass", "once": "k",
                             "pressed": "2026-08-17T23:05:00Z"}  # fmt: skip
    version = sal.get(f"/api/v1/lots/{path.split('/')[2]}").json()["version"]
    for _ in range(2):
        answer = sal.ask("POST", path, data=said | {"version": str(version)}, headers=HOME)
        assert answer.status_code == 303, answer.text
    with kitchen.shelf.reading() as book:
        (kept,) = book.happenings.where(kind="dry check")
    assert kept.at == monday("19:05")


def test_in_spanish(sal: Asking, path: str, plan: Plan):
    send(sal, path, readings(plan, WET) | {"decision": "hold"})
    page = words(sal.get(path, headers={"Accept-Language": "es"}).text)
    assert "Mayor actividad de agua: bandeja" in page
    assert "No hace seguro el alimento." in page
    for english in ("Highest", "Held", "Rack ", "Do not pack"):
        assert english not in page
