"""Weighing in at the door: the true weight, what it means for the racks, and what is refused."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from html import unescape
from pathlib import Path

import pytest

from api.records.people import Role
from api.services.at_the_door import weighed_of
from api.services.plans import plan_of
from scheduler.domain.plan import Plan
from scheduler.units import Grams
from tests.asking import Asking
from tests.served import AUGUST, TOMATO, WEEK, Kitchen
from tests.site import HOME, entered, send, with_posted

PATH = "/at-the-door/2026-08-17"
MORNING = datetime.fromisoformat("2026-08-17T08:30-04:00")


@pytest.fixture
def kitchen(tmp_path: Path, plan: Plan) -> Iterator[Kitchen]:
    with with_posted(tmp_path, plan, at=MORNING) as found:
        yield found


@pytest.fixture
def sal(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "hand")


def row(page: str, note_id: str) -> str:
    found = re.search(rf'<li id="note-{note_id}".*?</li>', page, re.DOTALL)
    assert found, note_id
    return unescape(" ".join(re.sub("<[^>]+>", " ", found[0]).split()))


def weigh(asker: Asking, note_id: str, weight: str):
    said = {"note": note_id, "weight": weight}
    return asker.ask("POST", PATH, data=said, headers=HOME)


@pytest.mark.parametrize(
    ("role", "status"),
    [("manager", 200), ("hand", 200), ("grower", 403), ("board", 403), ("on_call", 403)],
)
def test_whose_page_it_is(kitchen: Kitchen, role: Role, status: int):
    asker = entered(kitchen, role)
    assert asker.get(PATH).status_code == status
    sent = asker.ask("POST", PATH, data={"note": "", "weight": ""}, headers=HOME)
    assert sent.status_code == (422 if status == 200 else 403)


def test_those_of_the_day_come_first_then_the_rest_of_the_week(sal: Asking):
    page = sal.get(PATH).text
    day, _, others = page.partition("Other days of this week")
    monday, zone = AUGUST.week.monday, AUGUST.kitchen.zone
    arriving = [each for each in AUGUST.notes if each.arrives.astimezone(zone).date() == monday]
    found = re.findall(r'<li id="note-(\w+)"', day)
    assert sorted(found) == sorted(each.id for each in arriving)
    assert len(re.findall(r'<li id="note-', others)) == len(AUGUST.notes) - len(arriving)
    assert "noted as 35 kg" in row(page, "R03")


def test_a_true_weight_is_told_at_once_with_what_it_means(sal: Asking):
    answer = weigh(sal, "R03", "38,5")
    assert answer.headers["location"] == f"{PATH}#note-R03"
    page = sal.get(PATH).text
    assert "Weighed in as lot 26-229-" in page
    told = row(page, "R03")
    assert "Done: Sal Orrin, 08:30. 38.5 kg, lot 26-229-" in told
    assert "3.5 kg more than noted. It needs 20 racks, 18 are planned." in told
    assert weigh(sal, "R03", "38,5").status_code == 409
    assert "more than noted. It needs 20 racks" in sal.get("/tick-off/2026-08-17").text


@pytest.mark.parametrize(
    ("percent", "needs"), [(100, "right"), (50, "fewer"), (105, "more"), (1000, "more")]
)
def test_racks_are_counted_for_what_came(plan: Plan, kitchen: Kitchen, percent: int, needs: str):
    """Against the card by hand: 35 kg of mushroom less 8 % at 1.8 kg a rack are 18 racks."""
    with kitchen.shelf.reading() as book:
        kept = plan_of(book, AUGUST.week)
    note = AUGUST.note("R03")
    weighed_g = Grams(note.field_g * percent // 100)
    found = weighed_of(kept, "R03", {"asked_g": note.field_g, "weighed_g": weighed_g})
    card = AUGUST.card(note.card_id)
    run = next(run for run, each in plan.charges() if each.note_id == "R03")
    dryer = AUGUST.kitchen.dryer(run.dryer_id)
    prepared = weighed_g * (1 - card.trim_loss_percent / 100)
    racks = -(-prepared // (card.g_per_m2 * dryer.rack_area_cm2 / 10_000))
    assert found.needed == pytest.approx(racks, abs=0)
    told = {"fewer": found.needed < 18, "right": found.needed == 18, "more": found.needed > 18}
    assert told[needs]
    assert found.fits == (found.needed - 18 <= dryer.racks - run.racks)


def test_a_split_lot_and_one_without_a_place(plan: Plan, kitchen: Kitchen):
    with kitchen.shelf.reading() as book:
        kept = plan_of(book, AUGUST.week)
    note = AUGUST.note("R07")
    charges = [each for _, each in plan.charges() if each.note_id == "R07"]
    assert len(charges) > 1
    same = {"asked_g": note.field_g, "weighed_g": note.field_g}
    found = weighed_of(kept, "R07", same)
    assert found.needed == found.planned == sum(each.racks for each in charges)
    runs = tuple(
        replace(run, charges=tuple(each for each in run.charges if each.note_id != "R07"))
        for run in plan.runs
    )
    without = replace(kept, plan=replace(plan, runs=runs))
    assert weighed_of(without, "R07", same).planned == 0
    assert weighed_of(None, "R07", same).planned == 0


def test_who_has_no_place_is_weighed_in_and_told_so(sal: Asking, kitchen: Kitchen):
    noted = kitchen.by["manager"].post("/api/v1/notes", TOMATO | {
        "arrives": "2026-08-17T09:00:00-04:00"}).json()["id"]  # fmt: skip
    assert weigh(sal, noted, "12").status_code == 303
    told = row(sal.get(PATH).text, noted)
    assert "As noted. It has no place in the posted plan: the manager decides." in told


def test_who_comes_on_another_day_stays_on_the_page(sal: Asking):
    others = sal.get(PATH).text.partition("Other days of this week")[2]
    note_id = re.findall(r'<li id="note-(\w+)"', others)[0]
    noted = AUGUST.note(note_id).field_g / 1000
    assert weigh(sal, note_id, f"{noted * 1.25:.1f}").status_code == 303
    day, _, others = sal.get(PATH).text.partition("Other days of this week")
    assert "Done: Sal Orrin, 08:30." in row(day, note_id)
    assert "kg more than noted." in row(day, note_id)
    assert f'id="note-{note_id}"' not in others


def test_pounds_are_read_as_pounds(sal: Asking):
    send(sal, "/my-settings", {"language": "", "weight_unit": "lb", "temperature_unit": ""})
    assert weigh(sal, "R03", "77.16").status_code == 303
    (lot,) = sal.get("/api/v1/lots").json()
    assert lot["weighed_kg"] == pytest.approx(35, abs=0.001)
    assert "77.2 lb, lot" in row(sal.get(PATH).text, "R03")


@pytest.mark.parametrize(
    ("weight", "fault"),
    [("", "must be filled in"), ("x", "must be a number"), ("0", "must be at least 0.001")],
)
def test_a_fault_is_told_with_its_form(sal: Asking, weight: str, fault: str):
    answer = weigh(sal, "R03", weight)
    assert answer.status_code == 422
    assert fault in answer.text
    assert "Weigh in: R03" in answer.text
    assert sal.get("/api/v1/lots").json() == []


@pytest.mark.parametrize(("weight", "far"), [("45.5", False), ("45.6", True), ("24.4", True)])
def test_a_weight_far_from_its_note_is_asked_for_once_more(sal: Asking, weight: str, far: bool):
    """35 kg are noted; 30 percent either way are thought likely."""
    answer = weigh(sal, "R03", weight)
    assert answer.status_code == (422 if far else 303)
    if far:
        told = unescape(answer.text)
        assert f"{weight} kg is far from the 35 kg noted: look at the scales again" in told
        assert sal.get("/api/v1/lots").json() == []
        said = {"note": "R03", "weight": weight, "sure": "yes"}
        assert sal.ask("POST", PATH, data=said, headers=HOME).status_code == 303
    assert [each["weighed_kg"] for each in sal.get("/api/v1/lots").json()] == [float(weight)]


def test_so_it_is_on_the_day(sal: Asking):
    day = "/tick-off/2026-08-17"
    said = {"key": "weigh in R03 Door", "weight": "350"}
    answer = sal.ask("POST", day, data=said, headers=HOME)
    assert answer.status_code == 422
    assert "350 kg is far from the 35 kg noted" in answer.text
    assert 'name="sure"' in answer.text
    assert sal.ask("POST", day, data=said | {"sure": "yes"}, headers=HOME).status_code == 303


def test_short_papers_are_told_at_the_door(sal: Asking, kitchen: Kitchen):
    every = kitchen.by["manager"].get(f"/api/v1/notes?week={WEEK}").json()["items"]
    short = [each["id"] for each in every if each["papers_short"]]
    assert 0 < len(short) < len(every) == len(AUGUST.notes)
    page = sal.get(PATH).text
    for each in AUGUST.notes:
        assert ("Papers short" in row(page, each.id)) == (each.id in short)


def test_a_day_without_anybody(sal: Asking):
    page = sal.get("/at-the-door/2026-09-07").text
    assert "Nobody is expected on this day." in page
