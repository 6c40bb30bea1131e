"""The book through the API: notes with answers, posting, lots, own things only."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import timedelta
from typing import Any
from zipfile import ZipFile

import pytest
from openpyxl import Workbook

from api.services.messages import MOST_CHARACTERS
from scheduler.domain.plan import Plan
from tests.served import AUGUST, TOMATO, WEEK, Kitchen
from tests.shelves import FRIDAY


def test_a_note_is_answered_at_once_and_not_promised(kitchen: Kitchen, plan: Plan):
    manager = kitchen.by["manager"]
    number = kitchen.laid_out(plan)
    assert manager.post(f"/api/v1/weeks/{WEEK}/post", {"plan": number}).status_code == 200
    answer = manager.post("/api/v1/notes", TOMATO)
    body = answer.json()
    assert answer.status_code == 201
    assert answer.headers["location"] == f"/api/v1/notes/{body['id']}"
    assert (body["state"], body["version"], answer.headers["etag"]) == ("in order", 1, '"1"')
    told = body["answer"]
    assert told["against_plan"] == number
    assert told["provisional"]
    assert len(told["text"]) <= MOST_CHARACTERS
    if told["outcome"] == "would fit":
        assert told["bags"]["fewest"] <= told["bags"]["likely"] <= told["bags"]["most"]
        assert sum(line["amount"] for line in told["price"]["lines"]) == told["price"]["fees"]
    else:
        assert (told["outcome"], bool(told["rule_title"])) == ("waits", True)
    assert manager.get("/api/v1/turns", params={"week": WEEK}).json()
    assert all(
        turn["note_id"] != body["id"]
        for turn in manager.get("/api/v1/turns", params={"week": WEEK}).json()
    )


def test_a_note_into_an_empty_week_has_room(kitchen: Kitchen):
    told = kitchen.by["grower"].post("/api/v1/notes", TOMATO).json()["answer"]
    assert (told["outcome"], told["against_plan"]) == ("would fit", None)


def test_the_same_request_under_its_key_is_done_once(kitchen: Kitchen):
    manager, key = kitchen.by["manager"], {"Idempotency-Key": "abc"}
    first = manager.post("/api/v1/notes", TOMATO, headers=key)
    again = manager.post("/api/v1/notes", TOMATO, headers=key)
    assert (again.status_code, again.json()) == (201, first.json())
    assert again.headers["etag"] == first.headers["etag"]
    other = manager.post("/api/v1/notes", {**TOMATO, "field_kg": 13}, headers=key)
    assert (other.status_code, other.json()["type"]) == (422, "urn:commonrack:problem:key-used")
    listed = manager.get("/api/v1/notes", params={"week": WEEK, "limit": 100}).json()["items"]
    assert [each["id"] for each in listed][26:] == [first.json()["id"]]


def test_notes_are_listed_page_by_page_in_order_of_call(kitchen: Kitchen):
    manager, seen, after = kitchen.by["manager"], [], None
    while True:
        params = {"limit": 10} | ({"after": after} if after else {})
        body = manager.get("/api/v1/notes", params=params).json()
        seen += [each["id"] for each in body["items"]]
        after = body["next"]
        if after is None:
            break
    assert seen == [note.id for note in AUGUST.notes]


def test_what_is_changed_must_be_what_was_seen(kitchen: Kitchen):
    manager = kitchen.by["manager"]
    path = "/api/v1/notes/R02"
    assert manager.ask("PATCH", path, json={"field_kg": 90}).status_code == 428
    seen = {"If-Match": manager.get(path).headers["etag"]}
    changed = manager.ask("PATCH", path, json={"field_kg": 90}, headers=seen)
    assert (changed.status_code, changed.json()["field_kg"]) == (200, 90)
    stale = manager.ask("PATCH", path, json={"field_kg": 95}, headers=seen)
    assert (stale.status_code, stale.json()["type"]) == (412, "urn:commonrack:problem:old-version")
    strange = manager.ask("PATCH", path, json={}, headers={"If-Match": "nonsense"})
    assert strange.status_code == 412
    gone = manager.post(
        f"{path}/end", {"state": "let go"}, headers={"If-Match": changed.headers["etag"]}
    )
    assert gone.json()["state"] == "let go"


def test_posting_after_a_change_is_refused_with_what_changed(kitchen: Kitchen, plan: Plan):
    manager = kitchen.by["manager"]
    number = kitchen.laid_out(plan)
    gone = manager.post("/api/v1/notes/R02/end", {"state": "let go"}, headers={"If-Match": '"1"'})
    assert gone.status_code == 200
    refused = manager.post(f"/api/v1/weeks/{WEEK}/post", {"plan": number})
    assert refused.status_code == 409
    assert refused.json()["changes"] == ["note R02 went"]


@pytest.mark.parametrize("path", ["/api/v1/notes/R01", "/api/v1/notes/R99", "/api/v1/notes/%20"])
def test_another_growers_note_is_as_if_it_were_not_there(kitchen: Kitchen, path: str):
    """G01 may not learn that R01, of G02, exists: neither by words nor by any header."""
    grower = kitchen.by["grower"]
    name = path.rpartition("/")[2]
    answer = grower.get(path)
    if name == "%20":
        assert answer.status_code == 422
        return
    assert answer.status_code == 404
    assert answer.json()["detail"] == f"there is no note {name}"
    for method, ending in (("PATCH", ""), ("POST", "/end")):
        body = {"state": "let go"} if ending else {"field_kg": 1}
        answer = grower.ask(method, path + ending, json=body, headers={"If-Match": '"1"'})
        assert (answer.status_code, answer.json()["detail"]) == (404, f"there is no note {name}")


def test_a_grower_sees_only_what_is_hers(kitchen: Kitchen, plan: Plan):
    manager, grower = kitchen.by["manager"], kitchen.by["grower"]
    manager.post(f"/api/v1/weeks/{WEEK}/post", {"plan": kitchen.laid_out(plan)})
    own = {note.id for note in AUGUST.notes if note.grower_id == "G01"}
    others = {note.id for note in AUGUST.notes} - own
    names = {each.farm for each in AUGUST.growers if each.id != "G01"}
    answers = [
        grower.get("/api/v1/notes").text,
        grower.get("/api/v1/turns", params={"week": WEEK}).text,
        grower.get("/api/v1/papers").text,
        grower.get("/api/v1/lots").text,
        *(grower.get(f"/api/v1/day-sheets/{day}").text for day in AUGUST.days),
    ]
    assert any("R02" in each for each in answers)
    for text in answers:
        assert not [note for note in others if f'"{note}' in text]
        assert not [farm for farm in names if farm in text]


def test_a_note_for_another_grower_is_for_nobody_there(kitchen: Kitchen):
    for grower_id in ("G02", "G99"):
        answer = kitchen.by["grower"].post("/api/v1/notes", {**TOMATO, "grower_id": grower_id})
        assert answer.status_code == 422
        assert answer.json()["detail"] == f"note, grower_id: there is no grower {grower_id}"


def test_growers_see_no_plan_before_it_is_posted(kitchen: Kitchen, plan: Plan):
    kitchen.laid_out(plan)
    assert kitchen.by["grower"].get("/api/v1/day-sheets/2026-08-18").status_code == 404
    assert kitchen.by["hand"].get("/api/v1/day-sheets/2026-08-18").status_code == 200


def test_on_call_reads_tonight_only(kitchen: Kitchen, plan: Plan):
    kitchen.laid_out(plan)
    on_call, path = kitchen.by["on_call"], "/api/v1/day-sheets/2026-08-18"
    assert on_call.get(f"{path}/night").status_code == 403
    kitchen.now[0] = FRIDAY + timedelta(days=4)
    assert on_call.get(f"{path}/night").json()["opens"].startswith("2026-08-19")
    assert on_call.get(path).status_code == 403


def test_the_board_sees_figures_and_no_names(kitchen: Kitchen, plan: Plan):
    kitchen.by["manager"].post(f"/api/v1/weeks/{WEEK}/post", {"plan": kitchen.laid_out(plan)})
    answer = kitchen.by["board"].get("/api/v1/board", params={"first": WEEK, "last": WEEK})
    (figures,) = answer.json()
    assert figures["rescued"]["asked_notes"] == 26
    assert all(each["denominator"] for each in figures["fractions"])
    growers, hands = AUGUST.growers, AUGUST.kitchen.hands
    for name in (*(each.name for each in growers), *(each.name for each in hands)):
        assert name not in answer.text


def test_a_lot_is_weighed_in_packed_and_followed(kitchen: Kitchen, plan: Plan):
    manager, hand = kitchen.by["manager"], kitchen.by["hand"]
    manager.post(f"/api/v1/weeks/{WEEK}/post", {"plan": kitchen.laid_out(plan)})
    lot = hand.post("/api/v1/lots", {"note_id": "R02", "weighed_kg": 110})
    assert lot.status_code == 201
    assert lot.json()["code"] == "26-226-G01-TOM"
    assert hand.post("/api/v1/lots", {"note_id": "R02", "weighed_kg": 110}).status_code == 409
    path = lot.headers["location"]
    assert kitchen.by["grower"].get(path).json()["weighed_kg"] == 110
    packed = hand.post(f"{path}/pack", {"bags": 70}, headers={"If-Match": lot.headers["etag"]})
    assert (packed.json()["state"], packed.json()["bags"]) == ("packed", 70)
    trail = manager.get(f"{path}/trail").json()
    assert [step["what"] for step in trail["steps"]] == ["at the door", "packed"]
    assert (trail["farm"], trail["crop"]) == ("Quillet Acre", "tomato")
    assert trail["planned"]
    assert manager.get("/api/v1/notes/R02").json()["field_kg"] == 110


def test_a_station_goes_down_and_comes_up(kitchen: Kitchen):
    on_call = kitchen.by["on_call"]
    stop = on_call.post("/api/v1/outages", {"station_id": "D3", "cause": "fan"})
    assert stop.status_code == 201
    assert on_call.post("/api/v1/outages", {"station_id": "D3"}).status_code == 409
    assert on_call.post("/api/v1/outages", {"station_id": "X"}).status_code == 422
    back = on_call.ask(
        "PATCH", stop.headers["location"], json={}, headers={"If-Match": stop.headers["etag"]}
    )
    assert back.json()["back"] is not None
    assert on_call.get("/api/v1/outages", params={"still_down": True}).json() == []


def test_a_paper_that_is_renewed_makes_a_note_placeable(kitchen: Kitchen):
    manager = kitchen.by["manager"]
    monday = {"kind": "liability insurance", "until": "2026-08-10"}
    manager.ask("PUT", "/api/v1/papers/growers/G01", json=monday)
    note = manager.get("/api/v1/notes/R02").json()
    assert note["state"] == "papers short"
    assert note["papers_short"] == ["liability insurance ended Monday 10 August"]
    manager.ask("PUT", "/api/v1/papers/growers/G01", json={**monday, "until": "2027-08-10"})
    assert manager.get("/api/v1/notes/R02").json()["state"] == "in order"


def test_standing_lots_are_noted_once_a_week(kitchen: Kitchen):
    manager = kitchen.by["manager"]
    lot = {"grower_id": "G12", "card_id": "mushroom", "field_kg": 35, "weekday": 0, "at": "08:00"}
    kept = manager.post("/api/v1/standing-lots", {**lot, "first": "2026-W35"})
    assert kept.status_code == 201
    (note,) = manager.post("/api/v1/weeks/2026-W35/standing-lots").json()
    assert (note["standing"], note["arrives"]) == (True, "2026-08-24T08:00:00-04:00")
    assert manager.post("/api/v1/weeks/2026-W35/standing-lots").json() == []
    later, seen = {"arrives": "2026-08-24T09:00:00-04:00"}, {"If-Match": '"1"'}
    manager.ask("PATCH", f"/api/v1/notes/{note['id']}", json=later, headers=seen)
    assert manager.post("/api/v1/weeks/2026-W35/standing-lots").json() == []
    manager.post("/api/v1/standing-lots", {**lot, "weekday": 3, "first": "2026-W35"})
    (second,) = manager.post("/api/v1/weeks/2026-W35/standing-lots").json()
    assert second["arrives"] == "2026-08-27T08:00:00-04:00"
    number = kept.json()["number"]
    for each in (number, number + 1):
        manager.post(f"/api/v1/standing-lots/{each}/end", {"last": "2026-W35"})
    assert manager.post("/api/v1/weeks/2026-W36/standing-lots").json() == []


TABLE = [
    ["grower_id", "card_id", "field_kg", "arrives"],
    ["G01", "tomato", "40", "2026-08-24T08:00"],
    ["G99", "tomato", "40", "2026-08-24T08:00"],
    ["G01", "tomato", "much", "2026-08-24T08:00"],
    ["G02", "onion", "55.5", "2026-08-25T09:30"],
]


def as_csv() -> bytes:
    return "\n".join(",".join(row) for row in TABLE).encode()


def as_xlsx(edit: Callable[[bytes], bytes] = bytes) -> bytes:
    """edit: what is done to the text of its sheet."""
    book = Workbook()
    sheet = book.worksheets[0]
    for row in TABLE:
        sheet.append(row)
    whole, edited = io.BytesIO(), io.BytesIO()
    book.save(whole)
    with ZipFile(whole) as old, ZipFile(edited, "w") as new:
        for name in old.namelist():
            text = old.read(name)
            new.writestr(name, edit(text) if "sheet1" in name else text)
    return edited.getvalue()


def as_xlsx_that_says_it_is_smaller() -> bytes:
    """Some programs write it so: nothing beyond what is said was read."""
    return as_xlsx(lambda text: text.replace(b'ref="A1:D5"', b'ref="A1:D2"'))


@pytest.mark.parametrize("make", [as_csv, as_xlsx, as_xlsx_that_says_it_is_smaller])
def test_many_notes_are_told_row_by_row(kitchen: Kitchen, make: Any):
    manager, path = kitchen.by["manager"], "/api/v1/notes/import"
    rows = manager.ask("POST", path, files={"file": ("notes", make())}).json()
    assert [(each["row"], each["note_id"]) for each in rows] == [
        (2, "G01-1"),
        (3, None),
        (4, None),
        (5, "G02-1"),
    ]
    assert rows[1]["faults"] == [{"where": "grower_id", "message": "there is no grower G99"}]
    assert rows[2]["faults"][0]["where"] == "field_kg"
    again = manager.ask("POST", path, files={"file": ("notes", make())}).json()
    assert [each["note_id"] for each in again] == ["G01-1", None, None, "G02-1"]


FAR = b'<row r="1048576"><c r="XFD1048576"><v>1</v></c><c r="A1048576"><v>1</v></c></row>'
BROKEN = [
    as_xlsx(lambda text: text[:200]),
    as_xlsx(lambda text: text.replace(b'r="D2"', b'r="?"')),
    as_xlsx(lambda text: text.replace(b"</sheetData>", FAR + b"</sheetData>")),
]


@pytest.mark.parametrize(
    "content", [b"", b"a;b;c\n1;2;3", b"\xff\xfe\x00", b"PK\x03\x04nothing", *BROKEN]
)
def test_a_table_that_cannot_be_read_is_a_problem(kitchen: Kitchen, content: bytes):
    answer = kitchen.by["manager"].ask(
        "POST", "/api/v1/notes/import", files={"file": ("notes", content)}
    )
    assert answer.status_code == 422
