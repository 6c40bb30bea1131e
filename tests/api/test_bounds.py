"""What is written into the book is bounded, and what was promised stays as it was promised."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Any

import pytest
from sqlalchemy.exc import IntegrityError

from scheduler.errors import BadInput
from scheduler.units import Grams
from tests.answer.posted import posted
from tests.served import AUGUST, TOMATO, WEEK, Kitchen

SEEN = {"If-Match": '"1"'}


@pytest.mark.parametrize(
    "change",
    [
        {"field_kg": 700},
        {"arrives": "2026-08-18T11:00:00-04:00"},
        {"latest_start": "2026-08-30T08:00:00-04:00"},
    ],
)
def test_what_is_firm_keeps_its_weight_and_times(kitchen: Kitchen, change: dict[str, Any]):
    manager = kitchen.by["manager"]
    manager.post(f"/api/v1/weeks/{WEEK}/post", {"plan": kitchen.laid_out(posted(AUGUST))})
    notes = manager.get("/api/v1/notes", params={"week": WEEK, "limit": 100}).json()["items"]
    firm = next(each for each in notes if each["state"] == "firm")
    path, seen = f"/api/v1/notes/{firm['id']}", {"If-Match": f'"{firm["version"]}"'}
    refused = manager.ask("PATCH", path, json=change, headers=seen)
    assert (refused.status_code, refused.json()["type"]) == (409, "urn:commonrack:problem:not-now")
    assert manager.get(path).json() == firm
    said = manager.ask("PATCH", path, json={"remark": "by the back door"}, headers=seen)
    assert (said.status_code, said.json()["state"]) == (200, "firm")


def test_a_later_arrival_keeps_as_long(kitchen: Kitchen):
    manager = kitchen.by["manager"]
    note = manager.post("/api/v1/notes", TOMATO).json()
    later = {"arrives": "2026-08-18T20:00:00-04:00"}
    moved = manager.ask("PATCH", f"/api/v1/notes/{note['id']}", json=later, headers=SEEN).json()
    kept = [
        datetime.fromisoformat(each["latest_start"]) - datetime.fromisoformat(each["arrives"])
        for each in (note, moved)
    ]
    assert moved["arrives"] == later["arrives"]
    assert kept[0] == kept[1]


def test_less_than_a_gram_is_no_harvest(kitchen: Kitchen):
    manager = kitchen.by["manager"]
    tiny = manager.post("/api/v1/notes", TOMATO | {"field_kg": 0.0001})
    assert tiny.status_code == 422
    door = manager.post("/api/v1/lots", {"note_id": "R01", "weighed_kg": 0.0004})
    assert door.status_code == 422
    with pytest.raises(BadInput, match="at least 1 g"):
        replace(AUGUST.notes[0], field_g=Grams(0))


@pytest.mark.parametrize(
    ("column", "cell"),
    [
        ("arrives", "0001-01-01T00:00"),
        ("arrives", "9999-12-31T23:00"),
        ("arrives", "1999-12-31T23:00"),
        ("latest_start", "9999-12-31T23:00"),
        ("field_kg", "100001"),
        ("field_kg", "9" * 400),
        ("field_kg", "0.0001"),
        ("grower_id", "G01\0"),
        ("card_id", "to\0mato"),
        ("remark", "ripe\0"),
        ("remark", "r" * 501),
    ],
)
def test_a_row_of_many_is_bounded_as_a_note_alone(kitchen: Kitchen, column: str, cell: str):
    good = {"grower_id": "G01", "card_id": "tomato", "field_kg": "40"}
    good |= {"arrives": "2026-08-24T08:00", "latest_start": "2026-08-24T20:00", "remark": "ripe"}
    rows = [good, good | {column: cell}]
    table = "\n".join([",".join(good), *(",".join(each.values()) for each in rows)])
    manager = kitchen.by["manager"]
    answer = manager.ask("POST", "/api/v1/notes/import", files={"file": ("notes", table.encode())})
    assert answer.status_code == 200
    taken, refused = answer.json()
    assert (taken["note_id"], taken["faults"]) == ("G01-1", [])
    assert (refused["note_id"], refused["faults"][0]["where"]) == (None, column)
    assert manager.get("/api/v1/notes", params={"limit": 100}).status_code == 200


def test_a_note_that_was_let_go_may_be_handed_in_again(kitchen: Kitchen):
    manager = kitchen.by["manager"]
    table = b"grower_id,card_id,field_kg,arrives\nG01,tomato,40,2026-08-24T08:00"

    def handed_in() -> str:
        files = {"file": ("notes", table)}
        name: str = manager.ask("POST", "/api/v1/notes/import", files=files).json()[0]["note_id"]
        return name

    first = handed_in()
    assert handed_in() == first
    manager.post(f"/api/v1/notes/{first}/end", {"state": "let go"}, headers=SEEN)
    assert handed_in() != first


@pytest.mark.parametrize("origin", ["http://[", "", "http://elsewhere"])
def test_an_origin_that_is_nobodys_is_refused(kitchen: Kitchen, origin: str):
    tried = {"login": "lotte", "password": "a guess of hers"}
    answer = kitchen.nobody().post("/api/v1/sessions", tried, headers={"Origin": origin})
    assert answer.status_code == 403


def test_a_secret_with_a_nul_is_none(kitchen: Kitchen):
    assert kitchen.nobody().get("/api/v1/invited/%00.x").status_code == 422


def test_without_a_book_nothing_is_ready(kitchen: Kitchen):
    kitchen.by["manager"].app.state.shelf = None
    assert kitchen.nobody().get("/ready").status_code == 503


def test_an_error_of_the_database_tells_nothing_that_was_written(kitchen: Kitchen):
    with kitchen.shelf.reading() as book:
        entry = book.notes.last()
    assert entry is not None
    again = replace(entry, called=entry.called + 1, remark="my husband is ill")
    with pytest.raises(IntegrityError) as refused, kitchen.shelf.writing() as book:
        book.notes.add(again)
    assert "husband" not in str(refused.value)


def test_a_password_is_tried_while_others_may_write(
    kitchen: Kitchen, monkeypatch: pytest.MonkeyPatch
):
    tried = []

    def fits(password: str, password_hash: str | None) -> bool:
        with kitchen.shelf.writing() as book:  # for ever, if the book were open for writing
            tried.append(book.weeks.last())
        return False

    monkeypatch.setattr("api.services.people.fits", fits)
    wrong = {"login": "lotte", "password": "a guess of hers"}
    assert kitchen.nobody().post("/api/v1/sessions", wrong).status_code == 401
    assert len(tried) == 1


def test_a_plan_pushed_out_of_memory_meanwhile_is_still_answered(
    kitchen: Kitchen, monkeypatch: pytest.MonkeyPatch
):
    """As where other threads read so many others that it is gone before it is handed over."""
    number = kitchen.laid_out(posted(AUGUST))
    monkeypatch.setattr("api.store.plans.MOST_READ", 0)
    with kitchen.shelf.reading() as book:
        kept = book.plans.find(number)
    assert kept is not None
    assert kept.plan.week == AUGUST.week


def test_a_grower_learns_nothing_of_plans_and_neighbours(kitchen: Kitchen):
    manager, grower = kitchen.by["manager"], kitchen.by["grower"]
    plan = posted(AUGUST)
    manager.post(f"/api/v1/weeks/{WEEK}/post", {"plan": kitchen.laid_out(plan)})
    hers = {note.id for note in AUGUST.notes if note.grower_id == "G01"}
    note = manager.post("/api/v1/notes", TOMATO).json()
    assert note["answer"]["against_plan"] is not None
    assert grower.get(f"/api/v1/notes/{note['id']}").json()["answer"]["against_plan"] is None

    placed = next(charge.note_id for _, charge in plan.charges() if charge.note_id in hers)
    code = manager.post("/api/v1/lots", {"note_id": placed, "weighed_kg": 50}).json()["code"]
    racks = [
        each.get(f"/api/v1/lots/{code}/trail").json()["planned"][0]["first_rack"]
        for each in (manager, grower)
    ]
    assert racks[0] is not None
    assert racks[1] is None

    days = [grower.get(f"/api/v1/day-sheets/{day}").json()["lines"] for day in AUGUST.days]
    lines = [line for day in days for line in day]
    amounts = {line["act"]: line["amount"] for line in lines}
    assert "kg" in amounts["weigh in"]
    assert not any(line["amount"] for line in lines if line["act"] in ("start", "end", "unload"))
