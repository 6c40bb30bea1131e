"""Whom to ring for what: found anew each time, one press, by whom and when, and taken back."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from api.records.people import Role
from api.services.calls import call_list
from api.services.turns import keep_turns
from scheduler.domain.plan import Plan
from tests.asking import Asking
from tests.book import MANAGER, doing
from tests.served import AUGUST, TOMATO, WEEK, Kitchen, opened
from tests.shelves import FRIDAY
from tests.site import HOME, KEY, entered, send, words
from web.app import create_site

PAGE, CALLS = f"/harvest-notes/call-list?week={WEEK}", f"/api/v1/weeks/{WEEK}/calls"
PATH = "/harvest-notes/call-list"


@pytest.fixture
def kitchen(tmp_path: Path) -> Iterator[Kitchen]:
    with opened(tmp_path, create_site, key=KEY) as found:
        yield found


@pytest.fixture
def lotte(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "manager")


def post(kitchen: Kitchen, plan: Plan) -> None:
    number = kitchen.laid_out(plan)
    answer = kitchen.by["manager"].post(f"/api/v1/weeks/{WEEK}/post", {"plan": number})
    assert answer.status_code == 200, answer.text


def reasons(kitchen: Kitchen, why: str) -> dict[str, Any]:
    found = kitchen.by["manager"].get(CALLS).json()
    return {each["note_id"]: each for call in found for each in call["reasons"]
            if each["why"] == why}  # fmt: skip


def test_notes_without_an_answer_are_rung_about_until_a_plan_is_posted(
    kitchen: Kitchen, plan: Plan
):
    kitchen.by["grower"].post("/api/v1/notes", TOMATO)  # who is answered at once
    assert set(reasons(kitchen, "no answer")) == {each.id for each in AUGUST.notes}
    with kitchen.shelf.writing() as book:
        (entry,) = book.notes.where(id="R02")
        book.notes.replace(replace(entry, state="pencilled"))  # by a plan that nobody has seen yet
    assert "R02" in reasons(kitchen, "no answer")
    post(kitchen, plan)
    assert reasons(kitchen, "no answer") == {}


def test_papers_that_are_short_name_themselves(kitchen: Kitchen):
    short = reasons(kitchen, "papers short")
    assert "orientation of the helper missing" in short["R11"]["papers"]
    notes = kitchen.by["manager"].get(f"/api/v1/notes?week={WEEK}").json()["items"]
    assert set(short) == {each["id"] for each in notes if each["papers_short"]}


def test_who_is_firm_and_does_not_come_is_rung(kitchen: Kitchen, plan: Plan):
    post(kitchen, plan)
    assert reasons(kitchen, "did not come") == {}
    kitchen.now[0] = FRIDAY + timedelta(days=4)  # Tuesday afternoon
    kitchen.by["hand"].post("/api/v1/lots", {"note_id": "R03", "weighed_kg": 35})
    missing = reasons(kitchen, "did not come")
    assert "R03" not in missing
    assert "R02" in missing  # expected on Monday
    assert "R21" not in missing  # expected on Thursday


def test_a_turn_moved_is_rung_about_until_a_later_text_was_sent(kitchen: Kitchen, plan: Plan):
    post(kitchen, plan)
    assert reasons(kitchen, "turn moved") == {}
    kitchen.now[0] = FRIDAY + timedelta(hours=1)
    with kitchen.shelf.writing() as book:
        (turn,) = (each.turn for each in book.turns.where(note_id="R09", kind="packing"))
        later = turn.start + timedelta(minutes=30)
        moved = replace(turn, start=later, sequence=1, changed_at=kitchen.now[0])
        keep_turns(book, AUGUST.week, [moved])
    assert set(reasons(kitchen, "turn moved")) == {"R09"}
    with kitchen.shelf.writing() as book:
        (text,) = book.messages.where(grower_id="G11", sent_at=None)
        written = replace(text, written_at=kitchen.now[0], sent_at=kitchen.now[0])
        book.messages.replace(written)
    assert reasons(kitchen, "turn moved") == {}


def test_one_press_says_by_whom_and_when_and_is_taken_back(kitchen: Kitchen, lotte: Asking):
    assert words(lotte.get(PAGE).text).count("Rung :") == 12  # a button for each grower
    sal = entered(kitchen, "hand")
    told = send(sal, PAGE, {}, form=f"{PATH}/G11/rung")
    assert told.status_code == 303
    page = sal.get(PAGE).text
    assert "Davit Kessane was rung." in words(page)
    assert "Rung by Sal Orrin, Fri 14 Aug, 15:05" in words(page)
    assert f"{PATH}/G11/rung" in page.split("<main")[1].split("</div>")[0]  # Undo alone
    assert all(each["rung_by"] for each in of(kitchen, "G11")["reasons"])
    undo = re.search(rf'<form method="post" action="{PATH}/G11/rung">(.*?)</form>', page, re.DOTALL)
    assert undo
    hidden = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', undo[1]))
    assert sal.ask("POST", f"{PATH}/G11/rung", data=hidden, headers=HOME).status_code == 303
    assert not any(each["rung_by"] for each in of(kitchen, "G11")["reasons"])
    deeds = kitchen.by["manager"].get("/api/v1/deeds").json()["items"]
    assert [each["told"]["back"] for each in deeds if each["act"] == "ring growers"] == [
        False, True
    ]  # fmt: skip


def of(kitchen: Kitchen, grower: str) -> Any:
    (found,) = (each for each in kitchen.by["manager"].get(CALLS).json()
                if each["grower_id"] == grower)  # fmt: skip
    return found


def test_who_is_rung_stands_behind_those_who_are_not_and_comes_back_with_something_new(
    kitchen: Kitchen,
):
    manager = kitchen.by["manager"]
    about = [each["id"] for each in of(kitchen, "G01")["reasons"]]
    body = {"grower_id": "G01", "about": about}
    assert manager.post(CALLS, body).status_code == 200
    assert manager.post(CALLS, body).status_code == 409  # nothing of it is open
    assert manager.get(CALLS).json()[-1]["grower_id"] == "G01"
    paper = {"kind": "liability insurance", "until": "2026-08-01"}
    manager.ask("PUT", "/api/v1/papers/growers/G01", json=paper)
    new = [each for each in of(kitchen, "G01")["reasons"] if each["rung_by"] is None]
    assert {each["why"] for each in new} == {"papers short"}
    assert manager.get(CALLS).json()[0]["grower_id"] == "G01"


def test_her_number_is_kept_and_rings(kitchen: Kitchen, lotte: Asking):
    assert "no number in the book" in words(lotte.get(PAGE).text)
    answer = send(lotte, f"{PATH}/G11/number", {"telephone": "555-0142"})
    assert answer.status_code == 303
    page = lotte.get(PAGE).text
    assert '<a href="tel:5550142">555-0142</a>' in page
    assert of(kitchen, "G11")["telephone"] == "555-0142"
    too_long = send(lotte, f"{PATH}/G11/number", {"telephone": "5" * 41})
    assert too_long.status_code == 422
    with kitchen.shelf.reading() as book:
        deeds = [each for each in book.deeds.where() if each.subject == "G11"]
        week = call_list(book, doing(MANAGER), AUGUST.week)
    assert "555-0142" not in str(deeds)  # a trail is kept for longer than a number
    assert next(each.telephone for each in week if each.grower.id == "G11") == "555-0142"


@pytest.mark.parametrize("role", ["grower", "board", "on_call"])
def test_it_is_the_kitchens_alone(kitchen: Kitchen, role: Role):
    assert entered(kitchen, role).get(PAGE).status_code == 403
    assert entered(kitchen, role).get(f"{PATH}/G11/number").status_code == 403


def test_a_hand_rings_but_keeps_no_number(kitchen: Kitchen):
    sal = entered(kitchen, "hand")
    assert "Write down a number" not in words(sal.get(PAGE).text)
    assert sal.get(f"{PATH}/G11/number").status_code == 403
