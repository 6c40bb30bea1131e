"""What a manager changes in mid-season: the next lay-out sees it, what it was stays on record."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from api.services.asking import asked_of
from api.services.taking_in import keep_card, keep_grower
from scheduler.domain.kitchen import VotedCaps
from scheduler.domain.plan import Plan
from tests.asking import Asking
from tests.book import MANAGER, doing
from tests.served import AUGUST, TOMATO, WEEK, Kitchen
from tests.shelves import FRIDAY

NEW = replace(AUGUST.growers[0], id="G98", name="Ines Tarbell", farm="Stony Lea", shares=1)
GROWER, HOUSE = "/api/v1/growers/G01", "/api/v1/kitchen"


def changed(manager: Asking, path: str, to: dict[str, Any]) -> Any:
    seen = {"If-Match": manager.get(path).headers["etag"]}
    return manager.ask("PATCH", path, json=to, headers=seen)


def test_a_growers_days_and_shares(kitchen: Kitchen):
    manager = kitchen.by["manager"]
    to = {"shares": 7, "cannot": "Fri; Wed 12:00-19:00", "away": "2026-08-18"}
    answer = changed(manager, GROWER, to)
    assert (answer.status_code, answer.json()["shares"], answer.json()["people"]) == (200, 7, 2)
    with kitchen.shelf.reading() as book:
        grower = asked_of(book, AUGUST.week, now=FRIDAY).grower("G01")
    zone = AUGUST.kitchen.zone
    assert [(each.weekday, each.opens.hour) for each in grower.cannot] == [(4, 0), (2, 12)]
    assert [each.start.astimezone(zone).isoformat() for each in grower.away] == [
        "2026-08-18T00:00:00-04:00"
    ]
    assert grower.papers == AUGUST.grower("G01").papers
    deed = manager.get("/api/v1/deeds", params={"limit": 200}).json()["items"][-1]
    assert (deed["subject"], deed["told"]["shares before"], deed["told"]["shares to"]) == (
        "G01", 5, 7,
    )  # fmt: skip


def test_what_was_changed_meanwhile_is_not_changed_again(kitchen: Kitchen):
    manager = kitchen.by["manager"]
    for path, to in ((GROWER, {"shares": 1}), (HOUSE, {"turns_a_month": 6})):
        seen = {"If-Match": manager.get(path).headers["etag"]}
        assert manager.ask("PATCH", path, json=to).status_code == 428
        assert manager.ask("PATCH", path, json=to, headers=seen).status_code == 200
        assert manager.ask("PATCH", path, json=to, headers=seen).status_code == 412


@pytest.mark.parametrize(
    "to",
    [
        {"cannot": "someday"},
        {"cannot": "Mon 12:00-11:00"},
        {"away": "0001-01-01"},
        {"away": "2026-08-20T12:00/2026-08-20T11:00"},
        {"away": "9999-12-31"},
        {"people": 3},
        {"name": "Another"},
    ],
)
def test_what_cannot_be_meant(kitchen: Kitchen, to: dict[str, Any]):
    assert changed(kitchen.by["manager"], GROWER, to).status_code == 422


def test_nobody_of_that_name(kitchen: Kitchen):
    manager = kitchen.by["manager"]
    assert manager.get("/api/v1/growers/G99").status_code == 404
    answer = manager.ask(
        "PATCH", "/api/v1/growers/G99", json={"shares": 1}, headers={"If-Match": '"1"'}
    )
    assert answer.status_code == 404


def test_the_kitchens_closures_and_caps_with_their_history(kitchen: Kitchen):
    manager = kitchen.by["manager"]
    first = manager.get(HOUSE).json()
    answer = changed(manager, HOUSE, {"closures": ["2026-08-20", "2026-08-20"]})
    assert answer.json()["kitchen"]["closures"] == ["2026-08-20"]
    changed(manager, HOUSE, {"standing_percent": 20})
    with kitchen.shelf.reading() as book:
        asked = asked_of(book, AUGUST.week, now=FRIDAY)
    assert asked.kitchen.closures == (date(2026, 8, 20),)
    assert asked.kitchen.caps == VotedCaps(turns_a_month=10, standing_percent=20)
    assert date(2026, 8, 20) not in {each.start.date() for each in asked.staffed()}
    history = manager.get("/api/v1/kitchen/history").json()
    assert len(history) == 3
    assert history[0] == first


def test_hours_shifts_and_contacts(kitchen: Kitchen):
    manager = kitchen.by["manager"]
    nell = {"weekday": 0, "name": "Nell Harrow", "telephone": "555-0199"}
    to = {"staffed": "Mon-Fri 08:00-18:00", "shifts": {"Jun Ferrow": "Fri"}, "on_call": [nell]}
    assert changed(manager, HOUSE, to).status_code == 200
    with kitchen.shelf.reading() as book:
        now = asked_of(book, AUGUST.week, now=FRIDAY).kitchen
    assert [(each.opens.hour, each.closes.hour) for each in now.staffed] == [(8, 18)] * 5
    jun = next(each for each in now.hands if each.name == "Jun Ferrow")
    assert [each.weekday for each in jun.shifts] == [4]
    assert [(each.weekday, each.name) for each in now.on_call] == [(0, "Nell Harrow")]
    assert now.hands[0] == AUGUST.kitchen.hands[0]


@pytest.mark.parametrize(
    "to",
    [
        {"staffed": ""},
        {"staffed": "Mon 08:00-12:00; Mon 11:00-13:00"},
        {"shifts": {"Nobody": "Mon"}},
        {"on_call": [{"weekday": 7, "name": "Nell", "telephone": "5"}]},
    ],
)
def test_a_kitchen_that_cannot_be_meant(kitchen: Kitchen, to: dict[str, Any]):
    assert changed(kitchen.by["manager"], HOUSE, to).status_code == 422


def test_who_joins_or_brings_a_new_crop_after_posting_is_answered(kitchen: Kitchen, plan: Plan):
    manager = kitchen.by["manager"]
    manager.post(f"/api/v1/weeks/{WEEK}/post", {"plan": kitchen.laid_out(plan)})
    with kitchen.shelf.writing() as book:
        keep_grower(book, doing(MANAGER), NEW)
        keep_card(
            book, doing(MANAGER), replace(AUGUST.card("tomato"), id="plum", name="plum tomato")
        )
    asked = {**TOMATO, "grower_id": "G98", "card_id": "plum"}
    answer = manager.post("/api/v1/notes", asked)
    assert answer.status_code == 201
    assert answer.json()["answer"]["racks"] > 0


def test_papers_and_days_are_answered_as_they_are_now(kitchen: Kitchen, plan: Plan):
    manager = kitchen.by["manager"]
    manager.post(f"/api/v1/weeks/{WEEK}/post", {"plan": kitchen.laid_out(plan)})
    paper = {"kind": "liability insurance", "until": "2026-08-10"}
    manager.ask("PUT", "/api/v1/papers/growers/G01", json=paper)
    answer = manager.post("/api/v1/notes", TOMATO).json()["answer"]
    assert answer["papers_short"] == ["liability insurance ended Monday 10 August"]
    changed(manager, "/api/v1/growers/G05", {"away": "2026-08-18"})
    asked = {**TOMATO, "grower_id": "G05"}
    bring = manager.post("/api/v1/notes", asked).json()["answer"]["turns"][0]["start"]
    assert bring >= "2026-08-19"
