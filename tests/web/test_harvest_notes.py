"""Harvest notes: listed, narrowed, noted by telephone, changed, ended, carried over, taken in."""

from __future__ import annotations

import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import Workbook

from tests.answer.posted import posted
from tests.asking import Asking
from tests.book import MANAGER
from tests.served import AUGUST, WEEK, Kitchen, opened
from tests.shelves import FRIDAY, fresh_shelf
from tests.site import HOME, KEY, entered, send, words
from web.app import create_site
from web.views.note_import import COLUMNS, EXAMPLE

LIST = "/harvest-notes"
NEW, IMPORT, STANDING = f"{LIST}/new", f"{LIST}/import", f"{LIST}/standing-lots"
SAID = {"grower": "G03", "crop": "tomato", "weight": "20", "day": "2026-08-18", "at": "08:00",
        "may_split": "yes"}  # fmt: skip
LOT = {"grower": "G01", "crop": "tomato", "weight": "10", "weekday": "2", "at": "09:00",
       "first": WEEK, "may_split": "yes"}  # fmt: skip


@pytest.fixture
def kitchen(tmp_path: Path) -> Iterator[Kitchen]:
    with opened(tmp_path, create_site, key=KEY) as found:
        yield found


@pytest.fixture
def lotte(kitchen: Kitchen) -> Asking:
    return entered(kitchen, "manager")


def listed(page: str) -> list[str]:
    return re.findall(rf'scope="row"><a href="{LIST}/([^"]+)"', page)


def kept(kitchen: Kitchen, note_id: str) -> dict[str, object]:
    found = kitchen.by["manager"].get(f"/api/v1/notes/{note_id}").json()
    assert isinstance(found, dict)
    return found


def test_it_opens_on_the_next_week_that_asks_with_every_note_of_it(lotte: Asking):
    page = lotte.get(LIST).text
    assert f"Harvest notes, {WEEK}" in page
    assert listed(page) == [f"R{number:02}" for number in range(1, 27)]
    assert "of harvest as it is brought 1,447 kg" in words(page)


def test_what_is_short_stands_at_its_note(lotte: Asking):
    row = re.search(rf'<tr[^>]*>\s*<th[^>]*><a href="{LIST}/R26">.*?</tr>', lotte.get(LIST).text,
                    re.DOTALL)  # fmt: skip
    assert row
    assert "papers short liability insurance ended Thursday 20 August" in words(row[0])
    assert 'class="asks"' in row[0]


def test_what_waits_in_the_posted_plan_says_so(lotte: Asking, kitchen: Kitchen):
    assert listed(lotte.get(f"{LIST}?week={WEEK}&show=waiting").text) == []
    plan = posted(AUGUST)
    number = kitchen.laid_out(plan)
    kitchen.by["manager"].post(f"/api/v1/weeks/{WEEK}/post", {"plan": number})
    page = lotte.get(f"{LIST}?week={WEEK}&show=waiting").text
    assert listed(page) == sorted(each.note_id for each in plan.waiting)
    placed = {charge.note_id for _, charge in plan.charges()}
    parts = [each for each in plan.waiting if each.note_id in placed]
    assert page.count("waits for a place") == len(plan.waiting) - len(parts) > 0
    assert [each.note_id for each in parts] == ["R10"]
    assert "firm 28.9 kg of it has a place, 26.1 kg waits for one" in words(page)
    note = words(lotte.get(f"{LIST}/R10").text)
    assert "No room for 26.1 kg of it, as things stand" in note
    assert "The rest has its place." in note
    texts = [each["text"] for each in kitchen.by["manager"].get("/api/v1/messages").json()["items"]
             if each["grower_id"] == "G09"]  # fmt: skip
    assert "26.1 kg of R10 carrot 55 kg waits" in texts[0]
    kitchen.laid_out(plan)  # a newer one, not posted
    page = lotte.get(f"{LIST}?week={WEEK}&show=waiting").text
    assert page.count(f'href="/waiting-list?plan={number}"') == len(plan.waiting) > 0


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("show=standing", ["R03", "R21"]),
        ("show=short", ["R11", "R13", "R14", "R18", "R25", "R26"]),
        ("show=ended", []),
        ("grower=G01", ["R02", "R20", "R23"]),
        ("grower=G01&order=weight", ["R02", "R20", "R23"]),
        ("grower=G01&order=latest", ["R02", "R23", "R20"]),
        ("crop=basil&order=arrives", ["R05", "R23"]),
        ("crop=nothing", []),
        ("show=nonsense&order=nonsense&grower=G02", ["R01", "R15"]),
    ],
)
def test_it_is_narrowed_and_put_in_order_without_a_script(
    lotte: Asking, asked: str, found: list[str]
):
    page = lotte.get(f"{LIST}?week={WEEK}&{asked}")
    assert page.status_code == 200
    assert listed(page.text) == found
    if not found:
        assert "No note of this week is so." in page.text


def test_an_empty_week_teaches(lotte: Asking):
    page = lotte.get(f"{LIST}?week=2027-W02").text
    assert "Nothing is noted for this week yet." in page
    assert lotte.get(f"{LIST}?week=soon").status_code == 422


def test_a_note_by_telephone_is_answered_kept_and_taken_back(lotte: Asking, kitchen: Kitchen):
    looked = words(send(lotte, NEW, SAID | {"do": "look"}).text)
    assert "It would fit" in looked
    answer = send(lotte, NEW, SAID | {"do": "tell"})
    assert (answer.status_code, answer.headers["location"]) == (303, f"{LIST}/G03-1")
    page = lotte.get(f"{LIST}/G03-1").text
    assert "Noted." in page
    assert kept(kitchen, "G03-1")["field_kg"] == 20
    undo = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', page))
    lotte.ask("POST", f"{LIST}/G03-1/let-go", data=undo, headers=HOME)
    assert kept(kitchen, "G03-1")["state"] == "let go"
    assert "G03-1" in listed(lotte.get(f"{LIST}?week={WEEK}&show=ended").text)


def test_a_fault_stands_at_its_field(lotte: Asking):
    answer = send(lotte, NEW, SAID | {"weight": "much", "grower": "G99", "do": "tell"})
    assert answer.status_code == 422
    assert 'id="weight-fault">must be a number' in answer.text
    unknown = send(lotte, NEW, SAID | {"grower": "G99", "do": "tell"})
    assert 'id="grower-fault">there is no grower G99' in unknown.text


def test_a_note_is_changed_and_the_change_undone(lotte: Asking, kitchen: Kitchen):
    where = f"{LIST}/R01/change"
    before = kept(kitchen, "R01")
    said = {"weight": "60", "day": "2026-08-17", "at": "09:30", "latest_day": "2026-08-26",
            "latest_at": "07:30"}  # fmt: skip
    answer = send(lotte, where, said)
    assert answer.status_code == 303, words(answer.text)
    now = kept(kitchen, "R01")
    assert (now["field_kg"], now["latest_start"]) == (60, "2026-08-26T07:30:00-04:00")
    page = lotte.get(f"{LIST}/R01").text
    notice = re.search(r'<div class="notice".*?</div>', page, re.DOTALL)
    assert notice
    undo = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', notice[0]))
    lotte.ask("POST", where, data=undo, headers=HOME)
    again = kept(kitchen, "R01")
    assert all(again[name] == before[name] for name in ("field_kg", "arrives", "latest_start"))


def test_a_latest_start_left_as_it_is_shown_stays_when_the_arrival_moves(
    lotte: Asking, kitchen: Kitchen
):
    where = f"{LIST}/R01/change"
    shown = re.findall(r'<input value="([^"]*)"[^>]*? name="([^"]+)"', lotte.get(where).text)
    said, before = {name: value for value, name in shown}, kept(kitchen, "R01")
    answer = send(lotte, where, said | {"day": "2026-08-18"})
    assert answer.status_code == 303, words(answer.text)
    now = kept(kitchen, "R01")
    assert str(now["arrives"]).startswith("2026-08-18")
    assert now["latest_start"] == before["latest_start"]


def test_somebody_elses_change_meanwhile_is_told(lotte: Asking, kitchen: Kitchen):
    form = lotte.get(f"{LIST}/R01/change").text
    hidden = re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', form)
    shown = re.findall(r'<input value="([^"]*)"[^>]*? name="([^"]+)"', form)
    said = dict(hidden) | {name: value for value, name in shown}
    headers = {"If-Match": '"1"'}
    kitchen.by["manager"].ask("PATCH", "/api/v1/notes/R01", json={"remark": "wet"}, headers=headers)
    late = lotte.ask("POST", f"{LIST}/R01/change", data=said | {"remark": "dry"}, headers=HOME)
    assert late.status_code == 412
    assert "Somebody changed it meanwhile" in late.text
    assert 'id="remark-fault">in the book now: wet' in late.text
    assert re.search(r"<textarea[^>]*>dry</textarea>", late.text), "what was typed is kept"
    anew = re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', late.text)
    meant = said | {"remark": "dry"} | dict(anew)
    assert lotte.ask("POST", f"{LIST}/R01/change", data=meant, headers=HOME).status_code == 303
    assert kept(kitchen, "R01")["remark"] == "dry"


def test_what_was_typed_stays_where_the_note_may_not_be_so(lotte: Asking):
    where = f"{LIST}/R01/change"
    shown = re.findall(r'<input value="([^"]*)"[^>]*? name="([^"]+)"', lotte.get(where).text)
    said = {name: value for value, name in shown}
    moved = {"day": "2026-08-26", "latest_day": "2026-08-29", "remark": "very ripe"}
    answer = send(lotte, where, said | moved)
    assert (answer.status_code, "carry it over instead" in answer.text) == (409, True)
    assert "very ripe</textarea>" in answer.text


@pytest.mark.parametrize(("word", "state"), [("let-go", "let go"), ("stand-down", "stood down")])
def test_a_note_ends_after_being_asked_once_more(
    lotte: Asking, kitchen: Kitchen, word: str, state: str
):
    answer = send(lotte, f"{LIST}/R01/{word}", {})
    assert (answer.status_code, answer.headers["location"]) == (303, f"{LIST}?week={WEEK}")
    assert kept(kitchen, "R01")["state"] == state
    assert f"R01 is over: {state}." in lotte.get(LIST).text


def test_a_note_is_carried_over_into_a_later_week(lotte: Asking, kitchen: Kitchen):
    path = f"{LIST}/R01/carry-over"
    same = send(lotte, path, {"day": "2026-08-18", "at": "08:00"})
    assert (same.status_code, "carry it over into a later week" in same.text) == (409, True)
    assert 'value="2026-08-18"' in same.text, "what was typed is kept"
    answer = send(lotte, path, {"day": "2026-08-24", "at": "07:30"})
    anew = answer.headers["location"]
    assert answer.status_code == 303
    assert kept(kitchen, "R01")["state"] == "carried over"
    assert kept(kitchen, anew.rpartition("/")[2])["week"] == "2026-W35"


def taken_in(lotte: Asking, content: bytes, name: str) -> str:
    answer = lotte.ask("POST", IMPORT, files={"file": (name, content)}, headers=HOME)
    assert answer.status_code == 200, words(answer.text)
    return answer.text


def test_a_file_is_taken_in_and_told_row_by_row(lotte: Asking, kitchen: Kitchen):
    wrong = "G99,tomato,55,2026-08-18T08:00,,yes,no,no,"
    page = taken_in(lotte, f"{COLUMNS}\n{EXAMPLE}\n{wrong}\n".encode(), "many.csv")
    assert "1 of 2 rows are in the book now" in words(page)
    assert "there is no grower G99" in page
    assert kept(kitchen, "G03-1")["field_kg"] == 55
    again = taken_in(lotte, f"{COLUMNS}\n{EXAMPLE}\n".encode(), "many.csv")
    assert "1 of 1 rows are in the book now" in words(again)
    assert kitchen.by["manager"].get("/api/v1/notes/G03-2").status_code == 404


def test_a_spreadsheet_is_taken_in_likewise(lotte: Asking, kitchen: Kitchen):
    book, out = Workbook(), BytesIO()
    assert book.active is not None
    book.active.append(COLUMNS.split(","))
    book.active.append(EXAMPLE.split(","))
    book.save(out)
    assert "1 of 1 rows" in words(taken_in(lotte, out.getvalue(), "many.xlsx"))
    assert kept(kitchen, "G03-1")["card_id"] == "tomato"


@pytest.mark.parametrize(
    ("files", "told"),
    [
        ({}, "Choose a file first."),
        ({"file": ("many.csv", b"\xff\xfe")}, "is not UTF-8"),
        ({"file": ("many.csv", b"x" * 2_000_001)}, "The file is too large"),
    ],
)
def test_what_is_no_table_is_told(lotte: Asking, files: dict[str, tuple[str, bytes]], told: str):
    answer = lotte.ask("POST", IMPORT, files=files, headers=HOME)
    assert (answer.status_code, told in answer.text) == (422, True)


def test_standing_lots_are_kept_noted_for_a_week_and_ended(lotte: Asking, kitchen: Kitchen):
    assert "No lot comes every week yet." in lotte.get(STANDING).text
    assert send(lotte, STANDING, LOT).status_code == 303
    page = words(lotte.get(STANDING).text)
    assert "tomato, 10 kg G01 Odile Farrant Wednesday, 09:00, from 2026-W34 on" in page
    call = send(lotte, LIST, {}, form=f"{STANDING}/call")
    assert call.headers["location"] == f"{LIST}?week={WEEK}"
    assert "1 standing lot was noted." in lotte.get(call.headers["location"]).text
    assert kept(kitchen, "G01-1")["standing"] is True
    send(lotte, LIST, {}, form=f"{STANDING}/call")
    assert "All standing lots of this week are noted already." in lotte.get(LIST).text
    assert send(lotte, f"{STANDING}/1/end", {"last": "soon"}).status_code == 422
    assert send(lotte, f"{STANDING}/1/end", {"last": "2026-W36"}).status_code == 303
    assert "2026-W34 to 2026-W36" in words(lotte.get(STANDING).text)


def test_a_standing_lot_ends_no_sooner_than_it_begins_and_may_end_later(lotte: Asking):
    send(lotte, STANDING, LOT)
    early = send(lotte, f"{STANDING}/1/end", {"last": "2026-W33"})
    assert (early.status_code, 'value="2026-W33"' in early.text) == (422, True)
    assert 'id="last-fault">is before it comes for the first time' in early.text
    send(lotte, f"{STANDING}/1/end", {"last": WEEK})
    page = lotte.get(STANDING).text
    assert f'href="{STANDING}/1/end">Change its last week' in page
    assert f'value="{WEEK}"' in lotte.get(f"{STANDING}/1/end").text
    assert send(lotte, f"{STANDING}/1/end", {"last": "2026-W40"}).status_code == 303
    assert "2026-W34 to 2026-W40" in words(lotte.get(STANDING).text)


def test_nothing_is_noted_for_a_week_that_is_over(lotte: Asking, kitchen: Kitchen):
    send(lotte, STANDING, LOT | {"first": "2026-W30"})
    assert f"{STANDING}/call" not in lotte.get(f"{LIST}?week=2026-W32").text
    assert f"{STANDING}/call" in lotte.get(f"{LIST}?week=2026-W33").text, "this week"
    for asked in ({"week": "2026-W32"}, {"week": "2025-W33"}):
        answer = lotte.ask("POST", f"{STANDING}/call", data=asked, headers=HOME)
        assert (answer.status_code, "is over" in answer.text) == (409, True)
    assert kitchen.by["manager"].get("/api/v1/notes/G01-1").status_code == 404


def test_a_hand_notes_and_changes_but_decides_nothing(kitchen: Kitchen):
    sal = entered(kitchen, "hand")
    page = sal.get(LIST).text
    assert listed(page)
    assert IMPORT not in page
    assert "call" not in re.findall(rf'action="{STANDING}/(\w+)"', page)
    assert "carry-over" not in sal.get(f"{LIST}/R01").text
    for path in (IMPORT, STANDING, f"{LIST}/R01/stand-down", f"{LIST}/R01/carry-over"):
        assert sal.get(path).status_code == 403, path
    assert send(sal, NEW, SAID | {"do": "tell"}).status_code == 303


@pytest.mark.parametrize("path", [LIST, NEW, IMPORT, STANDING, f"{LIST}/R01", f"{LIST}/R01/change"])
@pytest.mark.parametrize("role", ["grower", "board", "on_call"])
def test_it_is_nobody_elses(kitchen: Kitchen, role: str, path: str):
    assert entered(kitchen, role).get(path).status_code in (403, 404)  # type: ignore[arg-type]


def test_without_a_kitchen_every_page_says_how_the_book_comes_to_one(tmp_path: Path):
    with fresh_shelf(tmp_path) as shelf:
        with shelf.writing() as book:
            book.people.add(MANAGER)
        app = create_site(shelf, clock=lambda: FRIDAY, key=KEY)
        lotte = entered(Kitchen(shelf, {"manager": Asking(app)}, [FRIDAY]), "manager")
        for path in (LIST, NEW, IMPORT, STANDING):
            page = lotte.get(path)
            assert (page.status_code, "No kitchen yet" in page.text) == (200, True), path
        assert lotte.ask("POST", NEW, data={}, headers=HOME).status_code == 422, "nothing to choose"
